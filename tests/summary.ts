import type { Reporter, TestModule } from 'vitest/node';

/** Prints the plain closing line "N passed, N failed, N skipped" after the runner's own report. */
export default class Summary implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const count = { passed: 0, failed: unhandled.length, skipped: 0 };
    for (const module of modules) {
      const broken = module.state() === 'failed';
      let failedInside = 0;
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'passed') count.passed += 1;
        else if (state === 'failed') failedInside += 1;
        else count.skipped += 1;
      }
      count.failed += broken && failedInside === 0 ? 1 : failedInside;
    }
    process.stdout.write(`\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped\n`);
  }
}
