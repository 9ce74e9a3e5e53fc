import { expect, it, onTestFinished } from 'vitest';
import { serialBalance } from '../../drivers/link/serial.ts';
import { listening, served, weights } from '../wire/pan.ts';

it('a simulated balance that nobody reads neither blocks nor keeps stale lines for the next reader', async () => {
  const { port } = await served(onTestFinished);
  const started = performance.now();
  for (let k = 0; k < 400; k++) {
    port.write(Buffer.from('ST,+00099.99  g\r\n'.repeat(30)));
    await new Promise((resolve) => setImmediate(resolve));
  }
  expect(performance.now() - started).toBeLessThan(5000);
  const balance = serialBalance({ path: port.path, shape: 'comma-headed', line: '9600 8N1' });
  const { observations } = listening(onTestFinished, balance);
  await expect.poll(() => weights(observations)).toContain('0.00 stable');
  expect(weights(observations).filter((one) => one.startsWith('99.99'))).toEqual([]);
});
