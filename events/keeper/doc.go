// Package keeper keeps the book current and carries commands out on it.
//
// One goroutine alone applies the log's records to the book. Everybody else reads: commands are decided on the live
// book under a read lock, pages and plans take an immutable snapshot.
//
// A command is answered only after this process's own fold has accepted what it wrote. Whatever is sent again under the
// same command id changes nothing again, for the book remembers the ids of all commands it has accepted. Writers of one
// process take turns on an entity; against writers elsewhere the log's guard decides, and the loser folds and tries again.
package keeper
