import type { RawData, WebSocket } from 'ws';
import { z } from 'zod';
import type { BenchView, Trouble } from '../host/table.ts';
import { troubleOf } from '../host/trouble.ts';

/** What a window needs of the host: calls by name, and every new view of the bench. */
export interface ServedHost {
  call(name: string, input: unknown): Promise<{ ok: true; value: unknown } | { ok: false; trouble: Trouble }>;
  onBench(listener: (view: BenchView) => void): () => void;
}

/** One call as it comes from the window; the answer carries the same id. */
const CallMessage = z.strictObject({
  id: z.number().int().nonnegative(),
  name: z.string().max(64),
  input: z.unknown(),
});

/** WebSocket close code 1008, "policy violation" (RFC 6455, 7.4.1): the message is none of ours. */
const NOT_OURS = 1008;

function parsed(data: RawData, binary: boolean): z.infer<typeof CallMessage> | null {
  if (binary) return null;
  let value: unknown;
  try {
    value = JSON.parse(data.toString());
  } catch {
    return null;
  }
  const message = CallMessage.safeParse(value);
  return message.success ? message.data : null;
}

/** Sends a bench's newest view as soon as what went before has left; a slow window misses views, never the last one. */
function benchSender(socket: WebSocket): (view: BenchView) => void {
  const waiting = new Map<string | undefined, BenchView>();
  let busy = false;
  const send = (view: BenchView): void => {
    if (socket.readyState !== socket.OPEN) return;
    if (busy) {
      /* Put last again, so that each of several benches has its turn. */
      waiting.delete(view.bench);
      waiting.set(view.bench, view);
      return;
    }
    busy = true;
    socket.send(JSON.stringify({ bench: view }), () => {
      busy = false;
      const [next] = waiting.values();
      if (next === undefined) return;
      waiting.delete(next.bench);
      send(next);
    });
  };
  return send;
}

/**
 * Speaks with one window: `{id, name, input}` is answered by `{id, reply}`, and `{bench: view}` is pushed at every change
 * and once at the start. Anything else closes the socket.
 */
export function serveSocket(socket: WebSocket, host: ServedHost): void {
  const send = benchSender(socket);
  const stop = host.onBench(send);
  socket.on('close', stop);
  socket.on('error', () => socket.terminate());
  socket.on('message', (data, binary) => {
    const message = parsed(data, binary);
    if (message === null) return socket.close(NOT_OURS, 'not a call');
    host
      .call(message.name, message.input)
      .catch((cause: unknown) => ({ ok: false as const, trouble: troubleOf(cause, message.name) }))
      .then((reply) => {
        if (socket.readyState === socket.OPEN) socket.send(JSON.stringify({ id: message.id, reply }));
      });
  });
  host.call('bench.view', {}).then(
    (reply) => {
      if (reply.ok) send(reply.value as BenchView);
    },
    () => socket.terminate(),
  );
}
