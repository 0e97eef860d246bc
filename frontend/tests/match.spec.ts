import type { Page } from '@playwright/test';
import { atPlace, expect, messages, signIn, sound, startOuting, test } from './page';

const bowlers = (page: Page) => page.locator('section[aria-labelledby="who-heading"] li');
const book = (page: Page) => page.locator('section[aria-labelledby="book-heading"] li');
const key = (page: Page, name: string) => page.getByRole('button', { name, exact: true });

/** A match of twenty overs in which a bowler may have one: the second over of anybody goes past the format's cap. */
async function startMatch(page: Page): Promise<void> {
  await signIn(page, 'coach');
  await page.getByText(messages.tonight.format, { exact: true }).click();
  await page.getByLabel(messages.tonight.oversASide).fill('20');
  await page.getByLabel(messages.tonight.bowlerCap).fill('1');
  await page.getByLabel(messages.tonight.ballsInOver).selectOption('six_valid');
  await sound(page);
  await startOuting(page, 'match');
  await expect(page.getByRole('heading', { name: messages.match.who })).toBeVisible();
}

async function choose(page: Page, name: string): Promise<void> {
  await bowlers(page).getByRole('button', { name, exact: true }).click();
}

async function bowl(page: Page, ...names: string[]): Promise<void> {
  for (const name of names) await key(page, name).click();
}

async function nameOf(page: Page, at: number): Promise<string> {
  return (await bowlers(page).nth(at).getByRole('button').innerText()).trim();
}

const { ball, wide, noBall, endOver } = messages.match;
const SIX = [ball, ball, ball, ball, ball, ball];

test('three overs, the last past a limit with one confirming tap', async ({ page }) => {
  await startMatch(page);
  const [first, second] = [await nameOf(page, 0), await nameOf(page, 1)];
  await sound(page);

  await choose(page, first);
  await expect(page.getByRole('heading', { name: messages.match.bowling(first) })).toBeFocused();
  await bowl(page, ball, wide, ball, noBall, ball, ball);
  await expect(page.getByText('4 of 6, 2 extras')).toBeVisible();
  await sound(page);
  await bowl(page, ball, ball);
  await expect(page.getByText(messages.match.complete)).toBeVisible();
  await bowl(page, endOver);
  await expect(page.getByText(messages.match.place(1, 2, 'B'))).toBeVisible();
  await expect(book(page)).toHaveCount(1);
  await expect(
    book(page)
      .first()
      .getByRole('img', { name: messages.marks.over(6, 2) }),
  ).toBeVisible();

  const barred = bowlers(page).filter({ hasText: first });
  await expect(barred.getByText(messages.match.bowledLast)).toBeVisible();
  await expect(barred.getByRole('button')).toBeDisabled();

  await choose(page, second);
  await bowl(page, ...SIX, endOver);
  await expect(page.getByText(messages.match.place(1, 3, 'A'))).toBeVisible();
  await expect(bowlers(page).first()).toContainText(first);
  await expect(bowlers(page).first().getByText(messages.match.breaks)).toBeVisible();
  await sound(page);

  await choose(page, first);
  const sheet = page.getByRole('dialog');
  await expect(sheet.getByRole('heading', { name: messages.pastLimit.heading })).toBeVisible();
  await expect(sheet.getByText(messages.limitNames.bowler_cap)).toBeVisible();
  await sound(page);
  await page.keyboard.press('Escape');
  await expect(sheet).toHaveCount(0);
  await expect(page.getByRole('heading', { name: messages.match.who })).toBeVisible();

  await choose(page, first);
  await sheet.getByRole('button', { name: messages.pastLimit.confirm }).click();
  const sent = page.waitForRequest((request) => request.method() === 'PUT' && request.url().includes('/overs/'));
  await bowl(page, ...SIX, endOver);
  expect((await sent).postDataJSON()).toMatchObject({
    over: 3,
    end: 'A',
    balls: 6,
    valid: 6,
    pastLimitConfirmed: true,
  });
  await expect(book(page)).toHaveCount(3);
  await page.reload();
  await expect(book(page)).toHaveCount(3);
  await expect(page.getByText(messages.match.place(1, 4, 'B'))).toBeVisible();
});

test('an over half bowled comes back after a reload', async ({ page }) => {
  await startMatch(page);
  await choose(page, await nameOf(page, 0));
  await bowl(page, ball, ball, wide);
  await page.reload();
  await expect(page.getByText('2 of 6, 1 extra')).toBeVisible();
  await bowl(page, messages.match.undo);
  await expect(page.getByText('2 of 6', { exact: true })).toBeVisible();
});

test('a shared over is two shares of one', async ({ page }) => {
  await startMatch(page);
  const [first, second] = [await nameOf(page, 0), await nameOf(page, 1)];
  await choose(page, first);
  await bowl(page, ball, ball, messages.match.share);
  await expect(page.getByRole('heading', { name: messages.match.whoFinishes })).toBeVisible();
  await expect(bowlers(page).filter({ hasText: first }).getByText(messages.match.beganThis)).toBeVisible();
  await choose(page, second);
  await bowl(page, ball, ball, ball, ball);
  await expect(page.getByText(messages.match.complete)).toBeVisible();
  await bowl(page, endOver);
  await expect(page.getByText(messages.match.place(1, 2, 'B'))).toBeVisible();
  await expect(book(page)).toHaveCount(2);
  for (const name of [first, second]) {
    await expect(bowlers(page).filter({ hasText: name }).getByRole('button')).toBeDisabled();
  }
});

test('an over is corrected, and taken back', async ({ page }) => {
  await startMatch(page);
  const name = await nameOf(page, 0);
  await choose(page, name);
  await bowl(page, ...SIX, endOver);
  await book(page)
    .getByRole('button', { name: messages.match.correctOf(1, name) })
    .click();
  const sheet = page.getByRole('dialog');
  await sound(page);
  await sheet.getByLabel(messages.correct.valid).fill('9');
  await sheet.getByRole('button', { name: messages.correct.save }).click();
  await expect(sheet.getByText(messages.correct.validRange)).toBeVisible();
  await expect(sheet.getByLabel(messages.correct.valid)).toBeFocused();
  await sheet.getByLabel(messages.correct.balls).fill('7');
  await sheet.getByLabel(messages.correct.valid).fill('6');
  await sheet.getByLabel(messages.match.break).fill('45');
  await sheet.getByRole('button', { name: messages.correct.save }).click();
  await expect(
    book(page)
      .first()
      .getByRole('img', { name: messages.marks.over(6, 1) }),
  ).toBeVisible();
  await expect(book(page).first()).toContainText(messages.match.breakBefore(45));
  await page.reload();
  await expect(book(page).first()).toContainText(messages.match.breakBefore(45));

  await book(page)
    .getByRole('button', { name: messages.match.correctOf(1, name) })
    .click();
  await sheet.getByRole('button', { name: messages.correct.takeBack }).click();
  await expect(sheet).toHaveCount(0);
  await expect(page.getByText(messages.match.bookEmpty)).toBeVisible();
  await expect(page.getByText(messages.match.place(1, 1, 'A'))).toBeVisible();
});

test('innings, over and end can be set, and a break before the over', async ({ page }) => {
  await startMatch(page);
  await page.getByText(messages.match.change, { exact: true }).click();
  await page.getByLabel(messages.match.over, { exact: true }).fill('0');
  await page.keyboard.press('Tab');
  await expect(page.getByText(messages.correct.numberRange(1000))).toBeVisible();
  await page.getByLabel(messages.match.over, { exact: true }).fill('5');
  await page.getByLabel(messages.match.end, { exact: true }).selectOption('B');
  await page.getByLabel(messages.match.break).fill('50');
  await page.keyboard.press('Tab');
  await expect(page.getByText(messages.match.place(1, 5, 'B'))).toBeVisible();
  await sound(page);
  await choose(page, await nameOf(page, 0));
  await bowl(page, ...SIX, endOver);
  await expect(book(page).first()).toContainText(messages.match.breakBefore(50));
  await expect(page.getByText(messages.match.place(1, 6, 'A'))).toBeVisible();
});

test('without a link the match goes on, and the overs arrive when it is back', async ({ page, watch }) => {
  watch.allow(/ERR_FAILED|Failed to load resource/);
  await startMatch(page);
  const [first, second] = [await nameOf(page, 0), await nameOf(page, 1)];
  await page.route('**/overs/*', (route) => route.abort());
  await choose(page, first);
  await bowl(page, ...SIX, endOver);
  await expect(book(page).getByText(messages.correct.notSent)).toHaveCount(1);
  await choose(page, second);
  await bowl(page, ...SIX, endOver);
  await expect(book(page).getByText(messages.correct.notSent)).toHaveCount(2);
  await expect(page.getByText(messages.left.stale)).toBeVisible();
  await sound(page);
  await page.unroute('**/overs/*');
  await page.getByRole('button', { name: messages.unsent.send }).click();
  await expect(book(page).getByText(messages.correct.notSent)).toHaveCount(0);
  await expect(page.getByText(messages.left.stale)).toHaveCount(0);
  await page.reload();
  await expect(book(page)).toHaveCount(2);
  await atPlace(page, messages.match.heading);
});
