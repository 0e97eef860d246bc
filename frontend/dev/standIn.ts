/**
 * A stand-in for the service, for working on the screens alone: `npm run dev -- --mode stand-in`. Development only; it is no
 * part of the build and no test leans on it. It keeps everything in memory, knows one invented squad, checks little, and
 * its "limits" are not anybody's: real figures come from the service.
 */
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Connect, Plugin } from 'vite';
import { reply } from './standInAnswers.ts';

const POLICY = "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'";

async function bodyOf(request: IncomingMessage): Promise<unknown> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  const text = Buffer.concat(chunks).toString();
  return text === '' ? undefined : JSON.parse(text);
}

async function handle(request: Connect.IncomingMessage, response: ServerResponse, next: () => void): Promise<void> {
  const url = new URL(request.url ?? '/', 'http://stand-in');
  if (!url.pathname.startsWith('/api/v1/')) {
    next();
    return;
  }
  const answer = reply({
    method: request.method ?? 'GET',
    path: url.pathname.slice('/api/v1'.length),
    query: url.searchParams,
    body: (await bodyOf(request)) as Record<string, unknown> | undefined,
    cookie: request.headers.cookie ?? '',
    bearer: request.headers.authorization ?? '',
  });
  response.statusCode = answer.status;
  if (answer.cookie !== undefined) response.setHeader('Set-Cookie', answer.cookie);
  if (answer.body === undefined) {
    response.end();
    return;
  }
  response.setHeader('Content-Type', answer.status < 400 ? 'application/json' : 'application/problem+json');
  response.end(JSON.stringify(answer.body));
}

/** The plugin: answers /api/v1 in `vite dev` and in `vite preview`, the latter under the service's content policy. */
export function standIn(): Plugin {
  const answering: Connect.NextHandleFunction = (request, response, next) => void handle(request, response, next);
  return {
    name: 'longspell-stand-in',
    configureServer: (server) => void server.middlewares.use(answering),
    configurePreviewServer: (server) => {
      server.middlewares.use((_request, response, next) => {
        response.setHeader('Content-Security-Policy', POLICY);
        next();
      });
      server.middlewares.use(answering);
    },
  };
}
