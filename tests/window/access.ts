import axe, { type AxeResults, type RunOnly } from 'axe-core';
import type { Page } from 'playwright-core';

/** WCAG 2.2 up to AA, and what axe knows as good practice. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

async function violations(page: Page, runOnly: RunOnly): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe.source);
  const results = (await page.evaluate(
    (given) => (window as unknown as { axe: typeof axe }).axe.run({ runOnly: given }),
    runOnly,
  )) as AxeResults;
  return results.violations.flatMap((one) =>
    one.nodes.map((node) => `${one.id}: ${node.html} ${node.failureSummary ?? ''}`),
  );
}

/** What axe holds against the page as it is now; in the dark sheet only the colours differ. */
export async function accessTroubles(page: Page): Promise<string[]> {
  await page.emulateMedia({ colorScheme: 'light' });
  const light = await violations(page, { type: 'tag', values: RULES });
  await page.emulateMedia({ colorScheme: 'dark' });
  const dark = await violations(page, { type: 'rule', values: ['color-contrast'] });
  await page.emulateMedia({ colorScheme: 'light' });
  return [...light, ...dark.map((one) => `dark: ${one}`)];
}

/** The smallest writing in the main part of the page, in px. */
export const leastWriting = (page: Page): Promise<number> =>
  page.evaluate(() =>
    Math.min(
      ...[...document.querySelectorAll('main *')]
        .filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim()))
        .map((one) => Number.parseFloat(getComputedStyle(one).fontSize)),
    ),
  );
