// Package passwd hashes and checks passwords, and says which passwords are accepted.
//
// Hashing is argon2id ("Argon2 Memory-Hard Function for Password Hashing", RFC 9106, IRTF, September 2021) with the figures of the
// "Password Storage Cheat Sheet" (OWASP Cheat Sheet Series, https://cheatsheetseries.owasp.org): 46 MiB in one pass, never below
// 19 MiB in two. Each hash holds its memory and a core, so only so many are made at once and only so many may wait; the rest are
// asked to come back, before a flood of sign-ins takes the machine away from everybody else.
//
// What is accepted follows "Digital Identity Guidelines: Authentication and Authenticator Management" (NIST SP 800-63B-4, August
// 2025): fifteen characters where the password is the only factor, no rules of composition, every character counts.
package passwd
