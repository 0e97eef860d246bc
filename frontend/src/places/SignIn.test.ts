import { fireEvent, render, screen, waitFor } from '@testing-library/svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { Refusal } from '../api/refusal';
import { messages } from '../messages';
import { session } from '../session/session.svelte';
import SignIn from './SignIn.svelte';

const submit = () => fireEvent.click(screen.getByRole('button', { name: messages.signIn.submit }));

beforeEach(() => {
  vi.spyOn(session, 'signIn').mockResolvedValue();
});

describe('sign in', () => {
  it('says at the top and at the fields what is missing, and goes there', async () => {
    render(SignIn);
    await submit();
    const summary = screen.getByRole('alert');
    await waitFor(() => expect(document.activeElement).toBe(summary));
    expect(summary.textContent).toContain(messages.signIn.noEmail);
    expect(summary.textContent).toContain(messages.signIn.noPassword);
    const email = screen.getByLabelText(messages.signIn.email);
    expect(email.getAttribute('aria-invalid')).toBe('true');
    expect(document.getElementById('email-wrong')?.textContent).toBe(messages.signIn.noEmail);
    await fireEvent.click(screen.getByRole('link', { name: messages.signIn.noPassword }));
    expect(document.activeElement).toBe(screen.getByLabelText(messages.signIn.password));
    expect(session.signIn).not.toHaveBeenCalled();
  });

  it('does not say which of the two was wrong', async () => {
    vi.mocked(session.signIn).mockRejectedValue(new Refusal(401, 'wrong_sign_in', 'Wrong', 'No such account.'));
    render(SignIn);
    await fireEvent.input(screen.getByLabelText(messages.signIn.email), { target: { value: ' coach@demo.invalid ' } });
    await fireEvent.input(screen.getByLabelText(messages.signIn.password), { target: { value: 'x y ' } });
    await submit();
    const summary = await screen.findByRole('alert');
    expect(summary.textContent).toContain(messages.signIn.wrong);
    expect(summary.textContent).not.toContain('No such account');
    // Spaces belong to a password, not to an address.
    expect(session.signIn).toHaveBeenCalledWith('coach@demo.invalid', 'x y ');
  });

  it('lets password managers and pasting do their work', () => {
    render(SignIn);
    const password = screen.getByLabelText(messages.signIn.password);
    expect(password.getAttribute('autocomplete')).toBe('current-password');
    expect(screen.getByLabelText(messages.signIn.email).getAttribute('autocomplete')).toBe('username');
    const paste = new Event('paste', { bubbles: true, cancelable: true });
    password.dispatchEvent(paste);
    expect(paste.defaultPrevented).toBe(false);
  });
});
