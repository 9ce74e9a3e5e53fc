import { type Pages, safeHeaders } from '../pages.ts';
import { isOwnPage } from './guard.ts';

const refusal = (status: number, why: string): Response =>
  new Response(`${why}\n`, {
    status,
    headers: { ...safeHeaders(), 'Content-Type': 'text/plain; charset=utf-8' },
  });

/** Answers a request of the window's own scheme from the built files, and from nothing else. */
export async function answerPage(pages: Pages, request: Request): Promise<Response> {
  if (!isOwnPage(request.url)) return refusal(403, 'This is not the address of the window.');
  if (request.method !== 'GET') return refusal(405, 'Only GET is answered.');
  const page = await pages.get(new URL(request.url).pathname);
  if (page === null) return refusal(404, 'There is no such file.');
  return new Response(page.body, { headers: { ...safeHeaders(), 'Content-Type': page.type } });
}
