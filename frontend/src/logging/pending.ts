import { session } from '../session/session.svelte';
import { carrierTo } from './carrier';
import { Unsent } from './unsent.svelte';

/** The one list of unsent taps of this page. */
export const unsent = new Unsent(carrierTo(session.service));
