import { describe, expect, it } from 'vitest';
import { messages } from '../messages';
import { inWords } from '../wording/refusals';
import { answer, everyItem } from './client';
import { Refusal, refusalFrom, unreachable } from './refusal';

const problem = {
  type: 'about:blank',
  title: 'Not allowed',
  status: 422,
  detail: 'The over is not as the contract has it.',
  instance: '/x',
  code: 'invalid',
  requestId: 'r',
  errors: [{ pointer: '/balls', detail: 'Balls are 1 to 40.' }],
};

describe('an answer', () => {
  it('is the data', async () => {
    const call = Promise.resolve({ data: { a: 1 }, response: new Response('{}') });
    expect(await answer(call)).toEqual({ a: 1 });
  });

  it('or the problem of RFC 9457 as a refusal', async () => {
    const call = Promise.resolve({ error: problem, response: new Response('{}', { status: 422 }) });
    await expect(answer(call)).rejects.toMatchObject({ status: 422, code: 'invalid', fields: problem.errors });
  });

  it('or unreachable, where it was cut off', async () => {
    await expect(answer(Promise.reject(new SyntaxError('cut')))).rejects.toMatchObject({ status: 0 });
  });
});

describe('a refusal in words', () => {
  it('says what the service says, with the fields', () => {
    const refusal = refusalFrom(new Response('', { status: 422 }), problem);
    expect(inWords(refusal)).toBe('The over is not as the contract has it. Balls are 1 to 40.');
  });

  it('says our own where the service could not', () => {
    expect(inWords(unreachable())).toBe(messages.trouble.unreachable);
    expect(inWords(refusalFrom(new Response('', { status: 503 }), 'busy'))).toBe(messages.trouble.busy);
    expect(inWords(refusalFrom(new Response('', { status: 500 }), problem))).toBe(messages.trouble.fault);
    expect(inWords(refusalFrom(new Response('', { status: 418 }), undefined))).toBe(messages.trouble.unknown(418));
  });

  it('passes by itself only where nothing has to change', () => {
    const passing = (status: number) => new Refusal(status, 'x', '', '').passing;
    expect([0, 408, 429, 500, 503].map(passing)).toEqual([true, true, true, true, true]);
    expect([400, 401, 403, 404, 409, 422].map(passing)).toEqual([false, false, false, false, false, false]);
  });
});

describe('a paged list', () => {
  it('is read to its end', async () => {
    const pages: Record<string, { items: number[]; nextPageToken: string | null }> = {
      first: { items: [1, 2], nextPageToken: 'b' },
      b: { items: [3], nextPageToken: 'c' },
      c: { items: [], nextPageToken: null },
    };
    const asked: (string | undefined)[] = [];
    const items = await everyItem((token) => {
      asked.push(token);
      return Promise.resolve(pages[token ?? 'first'] ?? { items: [], nextPageToken: null });
    });
    expect(items).toEqual([1, 2, 3]);
    expect(asked).toEqual([undefined, 'b', 'c']);
  });
});
