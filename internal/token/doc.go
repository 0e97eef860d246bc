// Package token makes and checks what a signed-in client carries: the short access token (a JWT) and the refresh token.
//
// The access token follows "JSON Web Token Best Current Practices" (RFC 8725, IETF, February 2020) and the type of "JSON Web Token
// (JWT) Profile for OAuth 2.0 Access Tokens" (RFC 9068, IETF, October 2021): one algorithm, fixed here and never taken from the
// token; an explicit type; issuer, audience and expiry always there; the key picked by name from a fixed map. Because this service
// alone writes these tokens, a token must moreover be exactly the text that this service would have written: the header byte by
// byte, the claims in their one canonical form. That refuses duplicate claims, unknown claims and keys or addresses of keys that
// came with the token, without a list of the tricks.
//
// The refresh token is 256 random bits; only its SHA-256 is stored. For the few seconds in which a lost reply may be asked for
// again its successor is kept sealed (AES-256-GCM under a key derived from the signing key), so that the database alone never
// holds one that can be used.
package token
