/** What an address of the app stands for. */
export type Route =
  | { readonly name: 'home' }
  | { readonly name: 'tonight' }
  | { readonly name: 'nets'; readonly outingId: string }
  | { readonly name: 'match'; readonly outingId: string }
  | { readonly name: 'morning' }
  | { readonly name: 'nowhere' };

const ID = '[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}';
const NETS = new RegExp(`^/nets/(${ID})$`);
const MATCH = new RegExp(`^/match/(${ID})$`);

/** Reads a path. An address that the app does not know is `nowhere`, never a guess. */
export function routeOf(path: string): Route {
  const trimmed = path.length > 1 ? path.replace(/\/$/, '') : path;
  if (trimmed === '/') return { name: 'home' };
  if (trimmed === '/tonight') return { name: 'tonight' };
  if (trimmed === '/this-morning') return { name: 'morning' };
  const nets = NETS.exec(trimmed)?.[1];
  if (nets !== undefined) return { name: 'nets', outingId: nets };
  const match = MATCH.exec(trimmed)?.[1];
  if (match !== undefined) return { name: 'match', outingId: match };
  return { name: 'nowhere' };
}
