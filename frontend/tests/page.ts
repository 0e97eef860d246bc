import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { test as base, expect, type Page } from '@playwright/test';
import { messages } from '../src/messages';
import { ACCOUNTS, PASSWORD, type Account } from './accounts';

export { expect, messages };

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Errors that a test itself brings about, and that the browser notes in its console. */
export interface Watch {
  allow(text: RegExp): void;
}

/**
 * A page that is watched: whatever it asks of another origin, whatever the content policy stops and whatever is an error in
 * the console fails the test.
 */
export const test = base.extend<{ watch: Watch }>({
  watch: [
    async ({ page, baseURL }, use) => {
      const faults: string[] = [];
      // The first question of every visit is whether a sign-in still holds; the answer "no" is no fault.
      const allowed = [/status of 401/];
      page.on('request', (request) => {
        const { origin, protocol } = new URL(request.url());
        if (protocol !== 'data:' && origin !== baseURL) faults.push(`asked another origin: ${request.url()}`);
      });
      page.on('console', (message) => {
        if (message.type() === 'error') faults.push(message.text());
      });
      page.on('pageerror', (error) => faults.push(error.message));
      await page.addInitScript(() => {
        document.addEventListener('securitypolicyviolation', (event) => {
          // Reaches the test as a page error.
          throw new Error(`content policy: ${event.violatedDirective} ${event.blockedURI}`);
        });
      });
      await use({ allow: (text) => allowed.push(text) });
      expect(faults.filter((fault) => !allowed.some((text) => text.test(fault)))).toEqual([]);
    },
    { auto: true },
  ],
});

/** Signs in and waits for the first place. */
export async function signIn(page: Page, account: Account, path = '/'): Promise<void> {
  await page.goto(path);
  await page.getByLabel(messages.signIn.email).fill(ACCOUNTS[account]);
  await page.getByLabel(messages.signIn.password, { exact: true }).fill(PASSWORD);
  await page.getByRole('button', { name: messages.signIn.submit }).click();
  await expect(page.getByRole('button', { name: messages.app.signOut })).toBeVisible();
}

/** The first heading of the page, as it should be. */
export async function atPlace(page: Page, heading: string): Promise<void> {
  await expect(page.getByRole('heading', { level: 1, name: heading, exact: true })).toBeVisible();
}

/** Starts an outing from Tonight with the whole squad and waits for its page. */
export async function startOuting(page: Page, kind: 'nets' | 'match'): Promise<void> {
  await page.getByRole('button', { name: messages.tonight.allHere }).click();
  const name = kind === 'nets' ? messages.tonight.startNets : messages.tonight.startMatch;
  await page.getByRole('button', { name }).click();
  await page.waitForURL(new RegExp(`/${kind}/`));
  await atPlace(page, kind === 'nets' ? messages.nets.heading : messages.match.heading);
}

interface AxeResult {
  violations: { id: string; help: string; nodes: { html: string; failureSummary?: string }[] }[];
}

/** No sideways scroll, and no target too small. */
export async function fits(page: Page): Promise<void> {
  const [content, room] = await page.evaluate(() => {
    const root = document.documentElement;
    return [root.scrollWidth, root.clientWidth] as const;
  });
  expect(content).toBeLessThanOrEqual(room);
  expect(await smallTargets(page)).toEqual([]);
}

/** It fits, and there is no violation of WCAG A and AA, 2.0 to 2.2, as far as axe can see. */
export async function sound(page: Page): Promise<void> {
  await fits(page);
  await page.evaluate(axeSource);
  const result = await page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: (context: Document, options: object) => Promise<unknown> } };
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
    return axe.run(document, { runOnly: { type: 'tag', values: tags } });
  });
  const found = (result as AxeResult).violations.map(({ id, help, nodes }) => ({
    id,
    help,
    nodes: nodes.map((node) => `${node.html} ${node.failureSummary ?? ''}`),
  }));
  expect(found).toEqual([]);
}

/** Controls in sight that are under 44 px, or under 48 px where they are for a thumb at the pitch side. */
async function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const pitchSide = '.counters button, .keys button, .start button, .people button';
    for (const control of document.querySelectorAll<HTMLElement>('a[href], button, input, select, summary')) {
      // A box to tick is as large as the label around it.
      const target = control.closest('label') ?? control;
      const { width, height, bottom } = target.getBoundingClientRect();
      if (width === 0 || bottom < 0) continue;
      const least = control.matches(pitchSide) ? 48 : 44;
      if (height < least - 0.5 || width < least - 0.5) {
        found.push(`${Math.round(width)} x ${Math.round(height)}: ${target.outerHTML.slice(0, 120)}`);
      }
    }
    return found;
  });
}
