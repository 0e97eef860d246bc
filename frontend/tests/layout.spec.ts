import { expect, fits, messages, signIn, sound, startOuting, test } from './page';

// WCAG 2.2, success criterion 1.4.10 (W3C, 2023): no scrolling in two directions at a width of 320 CSS pixels, which is also
// 1280 pixels at 400 %.
test('at 320 px, and at 200 % on 640 px, nothing runs off the side', async ({ page }) => {
  await signIn(page, 'coach');
  for (const [width, height] of [
    [320, 640],
    [640, 400],
  ] as const) {
    await page.setViewportSize({ width, height });
    await page.goto('/tonight');
    await expect(page.getByRole('button', { name: messages.tonight.allHere })).toBeVisible();
    await fits(page);
    await startOuting(page, 'nets');
    await page
      .locator('ul.ruled > li')
      .first()
      .getByRole('button', { name: /^\+6 balls/ })
      .click();
    await fits(page);
    await page.goto('/tonight');
    await startOuting(page, 'match');
    await expect(page.getByRole('heading', { name: messages.match.who })).toBeVisible();
    await fits(page);
    await page.locator('section[aria-labelledby="who-heading"] li button').first().click();
    await page.getByRole('button', { name: messages.match.ball, exact: true }).click();
    await fits(page);
    await page.goto('/this-morning');
    await expect(page.locator('article').first()).toBeVisible();
    await fits(page);
  }
});

test('by night the words can be read as well', async ({ page }) => {
  await page.emulateMedia({ colorScheme: 'dark', reducedMotion: 'reduce' });
  await page.goto('/');
  await expect(page.getByRole('button', { name: messages.signIn.submit })).toBeVisible();
  await sound(page);
  await signIn(page, 'coach');
  await startOuting(page, 'nets');
  await sound(page);
  await page.goto('/this-morning');
  await expect(page.locator('article').first()).toBeVisible();
  await sound(page);
});
