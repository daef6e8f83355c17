// Package natslog keeps the event log in NATS JetStream, either in a server embedded in this process
// (a folder on disk, no port) or in an external cluster.
//
// Words: the log is one stream; a record's position is its stream sequence; an entity's guard is the server's
// "expected last sequence for subject" with the entity's filter. What must be forgettable lies apart in a
// key-value bucket.
//
// What it promises:
//   - An acknowledged record is on disk (the embedded server syncs every write; a cluster has three copies).
//   - The stream is made once, by Create or in an empty folder. A folder that had one and has none now is refused,
//     and so is a log that ends before a position it has already had.
//   - Records come out in the order of their positions, each once.
//
// What it leaves out: it does not understand events, and it does not repair a log.
package natslog
