// Package authority is an office's own certificate authority: made at the first start in the data folder, it vouches for the
// server by its names and addresses, and every browser that trusts it takes the connection for secure. Without a trusted
// certificate a browser gives a page no service worker, and so no work without signal.
//
// The authority may vouch only for the names it was made for and for private addresses (name constraints, RFC 5280, section
// 4.2.1.10), so that whoever trusts it need not trust it about the rest of the world. Keys are ECDSA on P-256; their files
// can be read by their owner alone.
package authority
