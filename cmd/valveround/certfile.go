package main

import (
	"crypto/tls"
	"os"
	"sync"
	"time"
)

// fileCertificate is a certificate in files that something else renews.
type fileCertificate struct {
	cert, key string
	mu        sync.Mutex
	changed   time.Time
	pair      *tls.Certificate
}

// get reads the files again when they have changed; while the new ones do not fit together, the old ones serve.
func (f *fileCertificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	info, err := os.Stat(f.cert)
	if err == nil && (f.pair == nil || !info.ModTime().Equal(f.changed)) {
		var pair tls.Certificate
		if pair, err = tls.LoadX509KeyPair(f.cert, f.key); err == nil {
			f.pair, f.changed = &pair, info.ModTime()
		}
	}
	if f.pair != nil {
		return f.pair, nil
	}
	return nil, err
}
