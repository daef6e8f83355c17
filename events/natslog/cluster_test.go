package natslog_test

import (
	"errors"
	"fmt"
	"net"
	"net/url"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/logtest"
	"valveround/events/natslog"
)

// cluster is three servers on this machine's loopback, each with a disk of its own.
type cluster struct {
	servers []*server.Server
}

func startCluster(t *testing.T) *cluster {
	t.Helper()
	c := &cluster{}
	ports := freePorts(t, 3)
	var routes []*url.URL
	for _, port := range ports {
		routes = append(routes, &url.URL{Scheme: "nats", Host: fmt.Sprintf("127.0.0.1:%d", port)})
	}
	for i, port := range ports {
		s, err := server.NewServer(&server.Options{
			ServerName: fmt.Sprintf("node-%d", i), Host: "127.0.0.1", Port: server.RANDOM_PORT, NoSigs: true, NoLog: true,
			JetStream: true, StoreDir: t.TempDir(), SyncAlways: true, MaxPayload: 8 << 20, MaxPending: 256 << 20,
			Cluster: server.ClusterOpts{Name: "test", Host: "127.0.0.1", Port: port}, Routes: routes,
		})
		if err != nil {
			t.Fatal(err)
		}
		go s.Start()
		t.Cleanup(func() { s.Shutdown(); s.WaitForShutdown() })
		c.servers = append(c.servers, s)
	}
	for _, s := range c.servers {
		if !s.ReadyForConnections(time.Minute) {
			t.Fatal("a server of the cluster does not start")
		}
	}
	c.waitForLeader(t)
	return c
}

// freePorts finds ports on the loopback that nobody listens on just now.
func freePorts(t *testing.T, n int) (ports []int) {
	t.Helper()
	for range n {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = l.Close() }()
		ports = append(ports, l.Addr().(*net.TCPAddr).Port)
	}
	return ports
}

// waitForLeader waits until the cluster has one and knows all three servers.
func (c *cluster) waitForLeader(t *testing.T) {
	t.Helper()
	waitFor(t, "a leader of the cluster", func() bool {
		return slices.ContainsFunc(c.servers, func(s *server.Server) bool {
			return s.JetStreamIsLeader() && len(s.JetStreamClusterPeers()) == 3
		})
	})
}

func (c *cluster) url() string {
	var all []string
	for _, s := range c.servers {
		all = append(all, s.ClientURL())
	}
	return strings.Join(all, ",")
}

// openCluster opens the log of a cluster, waiting while it is not ready to make one.
func openCluster(t *testing.T, cfg natslog.Config) *natslog.Store {
	t.Helper()
	cfg.Logger, cfg.Timeout = zap.NewNop(), 2*time.Minute
	store, err := natslog.Open(t.Context(), cfg)
	if err != nil {
		t.Fatalf("Open: %v", err)
	}
	t.Cleanup(func() { _ = store.Close() })
	return store
}

func TestThreeServersKeepTheContract(t *testing.T) {
	cfg := natslog.Config{URL: startCluster(t).url(), Create: true}
	_ = openCluster(t, cfg).Close()
	cfg.Create = false
	logtest.Run(t, func(t *testing.T) (events.Log, func() events.Log) {
		store := openCluster(t, cfg)
		return store, func() events.Log {
			_ = store.Close()
			return openCluster(t, cfg)
		}
	})
}

func TestThreeServersAreNotMadeByTheWay(t *testing.T) {
	url := startCluster(t).url()
	dir := t.TempDir()
	_, err := natslog.Open(t.Context(), natslog.Config{URL: url, Dir: dir})
	if !errors.Is(err, natslog.ErrNoLog) {
		t.Fatalf("Open before init = %v, want %v", err, natslog.ErrNoLog)
	}
	store := openCluster(t, natslog.Config{URL: url, Dir: dir, Create: true})
	appendSome(t, store, 3)
	if _, err := natslog.Open(t.Context(), natslog.Config{URL: url, Create: true}); !errors.Is(err, natslog.ErrAlreadyThere) {
		t.Errorf("init again = %v, want %v", err, natslog.ErrAlreadyThere)
	}
	if err := store.Put(t.Context(), "p-1", []byte("{}")); err != nil {
		t.Errorf("Put: %v", err)
	}
	_ = store.Close()
	// Another process without a folder, then the first with its own, which knows the log.
	appendSome(t, openCluster(t, natslog.Config{URL: url}), 1)
	store = openCluster(t, natslog.Config{URL: url, Dir: dir})
	if last, err := store.Last(t.Context()); err != nil || last != 4 {
		t.Errorf("Last = %d, %v, want 4", last, err)
	}
	_ = store.Close()
	if _, err := natslog.Open(t.Context(), natslog.Config{Dir: dir}); !errors.Is(err, natslog.ErrOtherKind) {
		t.Errorf("Open standalone = %v, want %v", err, natslog.ErrOtherKind)
	}
}

// The server that leads the log goes away under eight writers: they go on with the next leader, nothing that was
// acknowledged is lost, and nothing is stored twice.
func TestThreeServersWhenTheLeaderGoesAway(t *testing.T) {
	c := startCluster(t)
	openCluster(t, natslog.Config{URL: c.url(), Create: true})
	store, err := natslog.Open(t.Context(), natslog.Config{URL: c.url(), Timeout: 10 * time.Second, Logger: zap.NewNop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })

	var acks atomic.Int64
	stop := make(chan struct{})
	written := make([]chainWriter, 8)
	var all sync.WaitGroup
	for i := range written {
		written[i].entity = newEntity(events.KindAssembly)
		all.Go(func() { written[i].run(t, store, stop, &acks) })
	}
	waitFor(t, "the writers", func() bool { return acks.Load() > 200 })
	var gone *server.Server
	waitFor(t, "somebody who leads the log", func() bool { gone = c.leader("valveround-events"); return gone != nil })
	gone.Shutdown()
	before := acks.Load()
	waitFor(t, "the writers to go on with another leader", func() bool { return acks.Load() > before+200 })
	close(stop)
	all.Wait()
	for i := range written {
		written[i].check(t, store)
	}
}

// chainWriter writes one entity's history.
type chainWriter struct {
	entity events.Entity
	acked  []events.EventID
}

func (w *chainWriter) run(t *testing.T, log events.Log, stop <-chan struct{}, acks *atomic.Int64) {
	last := uint64(0)
	for {
		select {
		case <-stop:
			return
		default:
		}
		r := sealed(w.entity, "corrected", 100)
		seq, err := log.Append(t.Context(), []events.Append{{Record: r, ExpectLast: last}})
		for err != nil { // is it there all the same?
			history, failed := log.History(t.Context(), w.entity)
			if failed != nil {
				continue
			}
			last = 0
			if n := len(history); n > 0 {
				last = history[n-1].Seq
				if history[n-1].ID == r.ID {
					seq = last
					break
				}
			}
			seq, err = log.Append(t.Context(), []events.Append{{Record: r, ExpectLast: last}})
		}
		last = seq
		w.acked = append(w.acked, r.ID)
		acks.Add(1)
	}
}

func (w *chainWriter) check(t *testing.T, log events.Log) {
	t.Helper()
	history, err := log.History(t.Context(), w.entity)
	if err != nil {
		t.Fatal(err)
	}
	var ids []events.EventID
	for _, r := range history {
		ids = append(ids, r.ID)
	}
	if !slices.Equal(ids, w.acked) {
		t.Errorf("%s: %d records stored, %d acknowledged, or in another order", w.entity, len(ids), len(w.acked))
	}
}

func (c *cluster) leader(stream string) *server.Server {
	for _, s := range c.servers {
		if s.JetStreamIsStreamLeader("$G", stream) {
			return s
		}
	}
	return nil
}

func waitFor(t *testing.T, what string, done func() bool) {
	t.Helper()
	for range 2400 {
		if done() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("waited in vain for %s", what)
}
