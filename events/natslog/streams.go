package natslog

import (
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// Names in the server.
const (
	streamName   = "valveround-events"
	peopleBucket = "valveround-people"
	peopleStream = "KV_" + peopleBucket // how the client names the stream behind a bucket
	signInBucket = "valveround-sign-in"
	signInStream = "KV_" + signInBucket
	blobBucket   = "valveround-papers"
	blobStream   = "OBJ_" + blobBucket
)

// storedSubjects are five tokens under the root: nothing that could not be an event's subject is stored.
// It is narrower than events.AllSubjects, with which it is tested to agree.
const storedSubjects = "vr.*.*.*.*"

// duplicateWindow is how long the server remembers message ids. It is a first sieve only: the fold remembers
// command ids for good. It is short because an import writes tens of thousands of ids a second.
const duplicateWindow = 20 * time.Second

// eventStream is the log: nothing in it ever expires, and nothing may be deleted or purged.
func eventStream(replicas, maxPayload int) jetstream.StreamConfig {
	return jetstream.StreamConfig{
		Name:               streamName,
		Description:        "what happened, in order; the only source of truth",
		Subjects:           []string{storedSubjects},
		Retention:          jetstream.LimitsPolicy,
		Discard:            jetstream.DiscardNew,
		Storage:            jetstream.FileStorage,
		Replicas:           replicas,
		MaxConsumers:       -1,
		MaxMsgs:            -1,
		MaxBytes:           -1,
		MaxAge:             0,
		MaxMsgsPerSubject:  -1,
		MaxMsgSize:         int32(maxPayload),
		NoAck:              false,
		Duplicates:         duplicateWindow,
		Compression:        jetstream.NoCompression,
		DenyDelete:         true,
		DenyPurge:          true,
		AllowRollup:        false,
		AllowDirect:        true,
		AllowAtomicPublish: true,
		AllowMsgTTL:        false,
	}
}

// maxDetails is the most bytes kept about one person or site.
const maxDetails = 64 << 10

// peopleStreamConfig is the bucket of what must be forgettable: one value a key, and deleting is allowed,
// because forgetting overwrites the value on disk.
func peopleStreamConfig(replicas int) jetstream.StreamConfig {
	return bucketConfig(peopleBucket, "personal details, apart from the log so that they can be forgotten", replicas)
}

// signInStreamConfig is the bucket of hashes of passwords, sessions and the keys of phones.
func signInStreamConfig(replicas int) jetstream.StreamConfig {
	return bucketConfig(signInBucket, "accounts, sessions and phones: hashes only", replicas)
}

func bucketConfig(bucket, about string, replicas int) jetstream.StreamConfig {
	return jetstream.StreamConfig{
		Name:              "KV_" + bucket,
		Description:       about,
		Subjects:          []string{"$KV." + bucket + ".>"},
		Retention:         jetstream.LimitsPolicy,
		Discard:           jetstream.DiscardNew,
		Storage:           jetstream.FileStorage,
		Replicas:          replicas,
		MaxConsumers:      -1,
		MaxMsgs:           -1,
		MaxBytes:          -1,
		MaxAge:            0,
		MaxMsgsPerSubject: 1,
		MaxMsgSize:        maxDetails,
		Duplicates:        duplicateWindow,
		Compression:       jetstream.NoCompression,
		DenyDelete:        false,
		DenyPurge:         false,
		AllowRollup:       true,
		AllowDirect:       true,
	}
}

// blobChunk is how many bytes of an attachment go into one message, the client's own default.
const blobChunk = 128 << 10

// blobStreamConfig is the bucket of attachments by hash. Its settings are those that the client's object store needs: a
// roll-up replaces the description of an object, and a put that broke off is purged.
func blobStreamConfig(replicas int) jetstream.StreamConfig {
	return jetstream.StreamConfig{
		Name:              blobStream,
		Description:       "attachments, such as signed papers, under their SHA-256",
		Subjects:          []string{"$O." + blobBucket + ".C.>", "$O." + blobBucket + ".M.>"},
		Retention:         jetstream.LimitsPolicy,
		Discard:           jetstream.DiscardNew,
		Storage:           jetstream.FileStorage,
		Replicas:          replicas,
		MaxConsumers:      -1,
		MaxMsgs:           -1,
		MaxBytes:          -1,
		MaxAge:            0,
		MaxMsgsPerSubject: -1,
		MaxMsgSize:        -1,
		Duplicates:        duplicateWindow,
		Compression:       jetstream.NoCompression,
		DenyDelete:        false,
		DenyPurge:         false,
		AllowRollup:       true,
		AllowDirect:       true,
	}
}

// Reading: how much one pull asks for. The second bounds what the server holds back for one pull, so that
// a run of sent-out days (hundreds of kilobytes each) does not fill the memory; it must exceed the largest record.
const (
	pullRecords = 8192
	pullBytes   = 64 << 20
)
