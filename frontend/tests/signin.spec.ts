import { ACCOUNTS, PASSWORD } from './accounts';
import { atPlace, expect, messages, signIn, sound, test } from './page';

test('a wrong password is refused in words, at the top and at the field, and focus goes there', async ({ page }) => {
  await page.goto('/');
  await atPlace(page, messages.signIn.heading);
  await sound(page);
  await page.getByRole('button', { name: messages.signIn.submit }).click();
  const summary = page.getByRole('alert');
  await expect(summary).toBeFocused();
  await expect(summary).toContainText(messages.signIn.noEmail);
  await sound(page);

  await page.getByLabel(messages.signIn.email).fill(ACCOUNTS.officer);
  await page.getByLabel(messages.signIn.password, { exact: true }).fill('not the password');
  await page.getByRole('button', { name: messages.signIn.submit }).click();
  await expect(summary).toContainText(messages.signIn.wrong);
  await expect(summary).toBeFocused();
  await expect(page.getByLabel(messages.signIn.email)).toHaveValue(ACCOUNTS.officer);
  await sound(page);
});

test('the keyboard alone signs in, moves about and signs out', async ({ page }) => {
  await page.goto('/');
  await atPlace(page, messages.signIn.heading);
  const tabTo = async (name: string, key = 'Tab') => {
    for (let i = 0; i < 20; i++) {
      await page.keyboard.press(key);
      const focused = await page.evaluate(() => {
        const { activeElement: at } = document;
        return at instanceof HTMLInputElement ? (at.labels?.[0]?.textContent ?? '') : (at?.textContent ?? '');
      });
      if (focused.trim() === name) return;
    }
    throw new Error(`Tab does not reach ${name}`);
  };
  await tabTo(messages.signIn.email);
  await page.keyboard.type(ACCOUNTS.coach);
  await tabTo(messages.signIn.password);
  await page.keyboard.type(PASSWORD);
  await page.keyboard.press('Enter');
  await atPlace(page, messages.tonight.heading);
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
  await tabTo(messages.places.morning, 'Shift+Tab');
  await page.keyboard.press('Enter');
  await atPlace(page, messages.morning.heading);
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
  await tabTo(messages.app.signOut, 'Shift+Tab');
  await page.keyboard.press('Enter');
  await atPlace(page, messages.signIn.heading);
  await page.reload();
  await atPlace(page, messages.signIn.heading);
});

test('a reload goes on where it was, with no token in any storage', async ({ page }) => {
  await signIn(page, 'coach');
  await atPlace(page, messages.tonight.heading);
  await expect(page.getByText(messages.app.demo)).toBeVisible();
  await page.goto('/this-morning');
  await atPlace(page, messages.morning.heading);
  const kept = await page.evaluate(() => JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie]));
  expect(kept).not.toMatch(/eyJ|token/i);
});

test('each role lands on its own first place', async ({ page }) => {
  await signIn(page, 'officer');
  await atPlace(page, messages.morning.heading);
  await expect(page.getByRole('link', { name: messages.places.tonight })).toHaveCount(0);
  await page.goto('/tonight');
  await atPlace(page, messages.app.nowhere);
  await sound(page);
  await page.getByRole('button', { name: messages.app.signOut }).click();
  await atPlace(page, messages.signIn.heading);

  await signIn(page, 'guardian');
  await atPlace(page, messages.nothingYet.guardianHeading);
  await expect(page.getByText(messages.nothingYet.guardian)).toBeVisible();
  await sound(page);
});

test('a sign-in that the service ended asks again and comes back to the same page', async ({ page, context }) => {
  await signIn(page, 'coach', '/this-morning');
  await atPlace(page, messages.morning.heading);
  await context.clearCookies();
  await page.reload();
  await atPlace(page, messages.signIn.heading);
  await signIn(page, 'coach', '/this-morning');
  await atPlace(page, messages.morning.heading);
});
