import { render } from '@testing-library/svelte';
import { describe, expect, it } from 'vitest';
import KindMark from './KindMark.svelte';
import LimitMark from './LimitMark.svelte';
import OverMark from './OverMark.svelte';
import SpellMark from './SpellMark.svelte';

describe('the mark of an over', () => {
  it('fills a tick for a valid ball, rings an extra, and leaves ticks to come', () => {
    const { container, getByRole } = render(OverMark, { taps: ['ball', 'wide', 'ball', 'no_ball'] });
    expect(getByRole('img').getAttribute('aria-label')).toBe('2 valid balls, 2 wides or no-balls');
    expect(container.querySelectorAll('.ball')).toHaveLength(2);
    expect(container.querySelectorAll('.ring')).toHaveLength(2);
    expect(container.querySelectorAll('.to-come')).toHaveLength(4);
  });

  it('counts every delivery where the format does', () => {
    const { container } = render(OverMark, { taps: ['ball', 'wide'], of: 5, fixed: true });
    expect(container.querySelectorAll('.to-come')).toHaveLength(3);
  });

  it('has no ticks to come once there are enough', () => {
    const seven = Array.from({ length: 7 }, () => 'ball' as const);
    expect(render(OverMark, { taps: seven }).container.querySelectorAll('.to-come')).toHaveLength(0);
  });
});

describe('the mark of a spell', () => {
  it('joins overs from one end and leaves a gap where somebody else bowled', () => {
    const { container, getByRole } = render(SpellMark, { overs: [1, 3, 5, 11], next: 12 });
    expect(container.querySelectorAll('.upright')).toHaveLength(4);
    expect(container.querySelectorAll('.joint')).toHaveLength(2);
    expect(getByRole('img').getAttribute('aria-label')).toBe('Overs bowled this innings: 1, 3, 5, 11');
  });
});

describe('the mark of a kind', () => {
  it.each([
    ['wrist_spin', 'Wrist spin'],
    ['finger_spin', 'Finger spin'],
    ['seam_up', 'Seam, keeper up'],
    ['seam_back', 'Seam, keeper back'],
    [null, 'Kind not known'],
  ] as const)('%s is named %s', (kind, name) => {
    expect(render(KindMark, { kind }).getByRole('img').getAttribute('aria-label')).toBe(name);
  });

  it('is silent where the word stands beside it', () => {
    const { container } = render(KindMark, { kind: 'seam_up', silent: true });
    expect(container.querySelector('svg')?.getAttribute('aria-hidden')).toBe('true');
  });
});

describe('the mark of a limit', () => {
  it('says broken only of a published limit', () => {
    expect(render(LimitMark, { weight: 'limit' }).getByRole('img').getAttribute('aria-label')).toBe('Limit broken');
    const { container } = render(LimitMark, { weight: 'guidance' });
    expect(container.querySelector('svg')?.getAttribute('aria-label')).toBe('Past advice');
  });
});
