import createClient, { type Client } from 'openapi-fetch';
import { Access, type AccessEvents } from './access';
import { Refusal, refusalFrom, unreachable } from './refusal';
import type { paths } from './schema';

/** The service as its contract has it. */
export type Service = Client<paths>;

/** Where the service answers: always the origin that the app came from. */
export function serviceBase(): string {
  return `${location.origin}/api/v1`;
}

/** A client of the service and the access that its calls go through. */
export function connect(events: AccessEvents): { service: Service; access: Access } {
  const access = new Access(serviceBase(), events);
  const service = createClient<paths>({ baseUrl: serviceBase(), fetch: (request) => access.send(request) });
  return { service, access };
}

interface Answered<T> {
  data?: T;
  error?: unknown;
  response: Response;
}

/** The data of a call, or a Refusal thrown. */
export async function answer<T>(call: Promise<Answered<T>>): Promise<T> {
  let answered: Answered<T>;
  try {
    answered = await call;
  } catch (fault) {
    if (fault instanceof Refusal) throw fault;
    // The answer was cut off or is not what it says: to the person it is the same as no answer.
    throw unreachable();
  }
  if (!answered.response.ok) throw refusalFrom(answered.response, answered.error);
  return answered.data as T;
}

interface Page<T> {
  items: T[];
  nextPageToken: string | null;
}

/** Every item of a paged list that is short by its nature (a squad, a club's squads), page after page. */
export async function everyItem<T>(page: (pageToken?: string) => Promise<Page<T>>): Promise<T[]> {
  const items: T[] = [];
  let token: string | null | undefined;
  do {
    const got: Page<T> = await page(token ?? undefined);
    items.push(...got.items);
    token = got.nextPageToken;
  } while (token !== null);
  return items;
}
