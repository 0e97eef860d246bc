import { atPlace, expect, messages, signIn, sound, test } from './page';

test('a notice is taken up, put back, and ended with a reason that is kept', async ({ page }) => {
  await signIn(page, 'clubLead');
  await atPlace(page, messages.morning.heading);
  const waiting = page.locator('article').filter({ has: page.getByRole('button', { name: messages.morning.takeUp }) });
  await expect(waiting.first()).toBeVisible();
  await sound(page);

  const name = await waiting.first().getByRole('heading', { level: 2 }).innerText();
  const id = await waiting.first().getByRole('heading', { level: 2 }).getAttribute('id');
  const notice = page.locator('article').filter({ has: page.locator(`#${id}`) });
  await notice.getByText(messages.morning.facts).click();
  await expect(notice.locator('details li').first()).toContainText(/\w{3} \d{1,2} \w{3}/);
  await notice.getByRole('button', { name: messages.morning.takeUp }).click();
  await expect(notice.getByText(/^Taken up by /)).toBeVisible();
  await expect(notice.getByRole('heading', { level: 2 })).toBeFocused();
  await page.reload();
  await expect(notice.getByText(/^Taken up by /)).toBeVisible();
  await notice.getByRole('button', { name: messages.morning.putBack }).click();
  await expect(notice.getByText(messages.morning.waiting, { exact: true })).toBeVisible();

  await notice.getByRole('button', { name: messages.morning.end }).click();
  const sheet = page.getByRole('dialog');
  await sound(page);
  await sheet.getByRole('button', { name: messages.morning.endConfirm }).click();
  await expect(sheet.getByText(messages.morning.pickReason)).toBeVisible();
  await sheet.getByLabel(messages.reasons.injured_or_resting).check();
  await sheet.getByRole('button', { name: messages.morning.endConfirm }).click();
  await expect(sheet).toHaveCount(0);
  await expect(notice.getByText(/^Ended by /)).toContainText(messages.reasons.injured_or_resting);

  await page.getByRole('button', { name: messages.morning.filters.ended }).click();
  await expect(page.locator(`#${id}`)).toHaveText(name);
  await sound(page);
  await page.getByRole('button', { name: messages.morning.filters.waiting }).click();
  await expect(page.locator('article').first()).toBeVisible();
  await expect(page.locator(`#${id}`)).toHaveCount(0);
});

test('a notice that somebody else changed is shown as it stands', async ({ page, browser, watch }) => {
  watch.allow(/status of 409/);
  await signIn(page, 'clubLead');
  const waiting = page.locator('article').filter({ has: page.getByRole('button', { name: messages.morning.takeUp }) });
  const id = await waiting.first().getByRole('heading', { level: 2 }).getAttribute('id');
  const notice = page.locator('article').filter({ has: page.locator(`#${id}`) });

  const other = await (await browser.newContext()).newPage();
  await signIn(other, 'clubLead');
  const theirs = other.locator('article').filter({ has: other.locator(`#${id}`) });
  await theirs.getByRole('button', { name: messages.morning.takeUp }).click();
  await expect(theirs.getByText(/^Taken up by /)).toBeVisible();
  await other.context().close();

  await notice.getByRole('button', { name: messages.morning.takeUp }).click();
  await expect(page.getByText(messages.morning.changedMeanwhile)).toBeVisible();
  await expect(notice.getByText(/^Taken up by /)).toBeVisible();
});

test('an officer and a coach read their notices', async ({ page }) => {
  await signIn(page, 'officer');
  await atPlace(page, messages.morning.heading);
  await expect(page.locator('article').first()).toBeVisible();
  await sound(page);
  await page.getByRole('button', { name: messages.app.signOut }).click();
  await signIn(page, 'coach', '/this-morning');
  await atPlace(page, messages.morning.heading);
  await expect(page.locator('article').first()).toBeVisible();
});
