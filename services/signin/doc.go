// Package signin knows who somebody is: accounts with a password for the office, phones with a key of their own for the
// crews, and the sessions that follow from them.
//
// What a person may do is in the log, as events of the person: roles given and taken, phones enrolled and revoked. What
// proves who somebody is lies apart from the log and only as hashes: passwords by argon2id (RFC 9106), session tokens and
// phone keys, which are 256 random bits, by SHA-256. Codes for enrolling a phone and the set-up link live in memory only.
//
// Sources: NIST SP 800-63B-4 for passwords and throttling; the OWASP cheat sheets "Password Storage", "Authentication" and
// "Session Management". It knows no HTTP.
package signin
