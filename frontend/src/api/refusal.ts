import type { Problem } from './contract';

/** A field that the service refused: a JSON pointer into the request, and what is wrong with it. */
export interface RefusedField {
  readonly pointer: string;
  readonly detail: string;
}

/** Why a call did not succeed. `status` is 0 where the service was not reached at all. */
export class Refusal extends Error {
  readonly status: number;
  readonly code: string;
  readonly title: string;
  readonly detail: string;
  readonly fields: readonly RefusedField[];

  constructor(status: number, code: string, title: string, detail: string, fields: readonly RefusedField[] = []) {
    super(`${code}: ${detail}`);
    this.name = 'Refusal';
    this.status = status;
    this.code = code;
    this.title = title;
    this.detail = detail;
    this.fields = fields;
  }

  /** True where the same call may well succeed later, with nothing changed: no link, a busy or a faulty service. */
  get passing(): boolean {
    return this.status === 0 || this.status === 408 || this.status === 429 || this.status >= 500;
  }
}

/** The refusal of a call that never reached the service. */
export function unreachable(): Refusal {
  return new Refusal(0, 'unreachable', '', '');
}

/** Reads the problem that came with a refusal (RFC 9457); a body of another kind gives a refusal without words. */
export function refusalFrom(response: Response, body: unknown): Refusal {
  const problem = body as Partial<Problem> | undefined;
  if (problem === undefined || typeof problem !== 'object' || typeof problem.code !== 'string') {
    return new Refusal(response.status, 'unknown', '', '');
  }
  const fields = Array.isArray(problem.errors) ? problem.errors : [];
  return new Refusal(response.status, problem.code, problem.title ?? '', problem.detail ?? '', fields);
}
