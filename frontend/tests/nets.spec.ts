import { atPlace, expect, messages, signIn, sound, startOuting, test } from './page';

test('counting a whole squad takes two taps to the counters, and a reload shows what was counted', async ({ page }) => {
  await signIn(page, 'coach');
  await atPlace(page, messages.tonight.heading);
  await expect(page.getByRole('button', { name: messages.tonight.allHere })).toBeVisible();
  await expect(page.locator('button[aria-pressed="true"]')).toHaveCount(0);
  await sound(page);
  await startOuting(page, 'nets');

  const rows = page.locator('ul.ruled > li');
  const first = rows.nth(0);
  const second = rows.nth(1);
  const six = (row: typeof first) => row.getByRole('button', { name: /^\+6 balls/ });
  const one = (row: typeof first) => row.getByRole('button', { name: /^\+1 ball/ });
  await six(first).click();
  await six(first).click();
  await one(first).click();
  await one(second).click();
  await expect(first.locator('.count')).toContainText('13');
  await first.getByRole('button', { name: /^Undo 1 ball/ }).click();
  await expect(first.locator('.count')).toContainText('12');
  await expect(first.getByText(messages.nets.saved)).toBeVisible();
  await expect(second.getByText(messages.nets.saved)).toBeVisible();
  await sound(page);

  await page.reload();
  await expect(first.locator('.count')).toContainText('12');
  await expect(second.locator('.count')).toContainText('1');
  await expect(first.getByText(messages.nets.saved)).toBeVisible();
});

test('another kind has a count of its own', async ({ page }) => {
  await signIn(page, 'coach');
  await startOuting(page, 'nets');
  const row = page.locator('ul.ruled > li').first();
  const kind = row.getByLabel(/^Kind of bowling/);
  await kind.selectOption('wrist_spin');
  await row.getByRole('button', { name: /^\+6 balls/ }).click();
  await kind.selectOption('seam_up');
  await expect(row.locator('.count')).toContainText('0');
  await row.getByRole('button', { name: /^\+1 ball/ }).click();
  await expect(row.getByText(messages.nets.saved)).toBeVisible();
  await expect(row.getByText('and 6 wrist spin')).toBeVisible();
  await page.goto('/tonight');
  await expect(page.getByRole('link', { name: /Nets.*7 balls/ }).first()).toBeVisible();
});

test('what cannot be sent is shown, kept over a reload, and sent once', async ({ page, watch }) => {
  watch.allow(/ERR_FAILED|Failed to load resource/);
  await signIn(page, 'coach');
  await startOuting(page, 'nets');
  const row = page.locator('ul.ruled > li').first();
  await page.route('**/practice/*', (route) => route.abort());
  await row.getByRole('button', { name: /^\+6 balls/ }).click();
  await expect(row.getByText(messages.nets.notSent)).toBeVisible();
  await expect(page.getByText(messages.unsent.count(1))).toBeVisible();
  await sound(page);

  await page.getByRole('button', { name: messages.app.signOut }).click();
  await expect(page.getByRole('heading', { name: messages.unsent.leaveHeading })).toBeVisible();
  await sound(page);
  await page.getByRole('button', { name: messages.unsent.stay }).click();

  await page.reload();
  await expect(row.locator('.count')).toContainText('6');
  await expect(row.getByText(messages.nets.notSent)).toBeVisible();
  await page.unroute('**/practice/*');
  await page.getByRole('button', { name: messages.unsent.send }).click();
  await expect(row.getByText(messages.nets.saved)).toBeVisible();
  await page.reload();
  await expect(row.getByText(messages.nets.saved)).toBeVisible();
  await expect(row.locator('.count')).toContainText('6');
});

test('an answer that is lost on its way makes no second entry', async ({ page, watch }) => {
  watch.allow(/ERR_FAILED|Failed to load resource/);
  await signIn(page, 'coach');
  await startOuting(page, 'nets');
  const row = page.locator('ul.ruled > li').first();
  let lost = 0;
  await page.route('**/practice/*', async (route) => {
    if (lost > 0) return route.continue();
    lost += 1;
    await route.fetch();
    return route.abort();
  });
  await row.getByRole('button', { name: /^\+6 balls/ }).click();
  await expect(row.getByText(messages.nets.notSent)).toBeVisible();
  await row.getByRole('button', { name: /^\+1 ball/ }).click();
  await expect(row.getByText(messages.nets.saved)).toBeVisible();
  expect(lost).toBe(1);
  await page.reload();
  await expect(row.locator('.count')).toContainText('7');
});

test('somebody who comes late is counted too', async ({ page }) => {
  await signIn(page, 'coach');
  await page.locator('.people button').first().click();
  await expect(page.getByText(/^1 of \d+ here$/)).toBeVisible();
  await page.getByRole('button', { name: messages.tonight.startNets }).click();
  await atPlace(page, messages.nets.heading);
  const rows = page.locator('ul.ruled > li');
  await expect(rows).toHaveCount(1);
  await page.getByRole('button', { name: messages.outing.change }).click();
  const sheet = page.getByRole('dialog');
  await sheet.locator('.people button').nth(1).click();
  await sound(page);
  await sheet.getByRole('button', { name: messages.outing.save }).click();
  await expect(rows).toHaveCount(2);
});

test('two adults at one counter are asked, and neither is overwritten unseen', async ({ page, browser, watch }) => {
  watch.allow(/status of 409/);
  await signIn(page, 'coach');
  await startOuting(page, 'nets');
  const row = page.locator('ul.ruled > li').first();
  await row.getByRole('button', { name: /^\+6 balls/ }).click();
  await expect(row.getByText(messages.nets.saved)).toBeVisible();

  const other = await (await browser.newContext()).newPage();
  await signIn(other, 'coach', new URL(page.url()).pathname);
  const theirs = other.locator('ul.ruled > li').first();
  await expect(theirs.locator('.count')).toContainText('6');
  await theirs.getByRole('button', { name: /^\+6 balls/ }).click();
  await expect(theirs.getByText(messages.nets.saved)).toBeVisible();
  await other.context().close();

  await row.getByRole('button', { name: /^\+1 ball/ }).click();
  await expect(row.getByText(messages.nets.theirsMore(12, 7))).toBeVisible();
  await sound(page);
  await row.getByRole('button', { name: messages.nets.takeTheirs(12) }).click();
  await expect(row.locator('.count')).toContainText('12');
  await expect(row.getByText(messages.nets.saved)).toBeVisible();
});
