// Package audit checks the event log and copies it out and in, whatever keeps it.
//
// Each record carries the hash of its entity's accepted record before it. VerifyChain recomputes all of them and says
// where the first one does not fit. Export writes the log as JSON Lines that a few lines of any script can check
// (verify.py is such a script); Load brings an export into an empty log.
//
// Backup writes a zip file with the export, the details kept apart and the attachments, with a sum of each; Restore brings one
// into an empty log. verify-backup.sh checks one with unzip, sha256sum and verify.py, without this program.
//
// What a hash chain cannot show: that the newest record of an entity was changed or is missing. Compare Report.Digest
// with that of a copy for that.
package audit
