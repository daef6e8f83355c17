// Package killtest kills a process that writes events, again and again, and checks that nothing it had acknowledged is
// lost. It holds tests only.
//
// The test starts itself as a child on a store folder. The child's workers carry out commands and print each command id
// after its acknowledgement. The parent kills the child with SIGKILL at a random moment, opens the folder, and checks
// that every printed command is known, that the commands of several events are there whole, that a fresh replay gives
// the same book and that the hash chain holds. Then it goes on with the same folder.
//
// KILL_ROUNDS says how many times (default 50, 5 with -short). A kill ends a process and not the machine: what the
// operating system had taken survives it. That nothing is acknowledged before it is synced to the disk is a setting of
// the embedded server (see natslog), not shown here.
package killtest
