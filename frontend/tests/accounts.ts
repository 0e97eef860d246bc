/** The accounts of the demo region, as the program prints them. Invented people; the environment may name others. */
export const PASSWORD = process.env.LONGSPELL_DEMO_PASSWORD ?? 'demo region only please';

export const ACCOUNTS = {
  coach: process.env.LONGSPELL_DEMO_COACH ?? 'coach@demo.invalid',
  clubLead: process.env.LONGSPELL_DEMO_CLUB_LEAD ?? 'clublead@demo.invalid',
  officer: process.env.LONGSPELL_DEMO_OFFICER ?? 'officer@demo.invalid',
  guardian: process.env.LONGSPELL_DEMO_GUARDIAN ?? 'guardian@demo.invalid',
};

export type Account = keyof typeof ACCOUNTS;
