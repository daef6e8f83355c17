package killtest

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/audit"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

// roundsPerFolder bounds how long a log grows, for each round replays it.
const roundsPerFolder = 25

func rounds(t *testing.T) int {
	if text := os.Getenv("KILL_ROUNDS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("KILL_ROUNDS=%q is not a number", text)
		}
		return n
	}
	if testing.Short() {
		return 5
	}
	return 50
}

// Folders are killed side by side: most of a round is waiting for the moment to kill.
func TestNothingAcknowledgedIsLost(t *testing.T) {
	var all totals
	var adding sync.Mutex
	t.Run("folders", func(t *testing.T) {
		for left := rounds(t); left > 0; left -= roundsPerFolder {
			t.Run(fmt.Sprintf("%d left", left), func(t *testing.T) {
				t.Parallel()
				f := &folder{path: t.TempDir(), acked: map[events.CommandID]bool{}}
				f.killRounds(t, min(left, roundsPerFolder))
				adding.Lock()
				defer adding.Unlock()
				all.add(f)
			})
		}
	})
	t.Logf("%d kills, %d of them at start: %d commands acknowledged, none lost; %d records, %d unacknowledged commands stored whole",
		all.kills, all.early, all.acked, all.records, all.unasked)
}

func (f *folder) killRounds(t *testing.T, rounds int) {
	t.Helper()
	for round := range rounds {
		f.killRound(t, rand.IntN(6) == 0)
		if round%3 == 2 { // else the next child opens what the kill left
			f.check(t)
		}
		if t.Failed() {
			t.Fatalf("in round %d of the folder, %d commands acknowledged", round+1, len(f.acked))
		}
	}
	f.check(t)
	f.verify(t)
}

// A log that is being made when the process dies is made anew, or is whole: never one that works once and is gone after.
func TestKilledWhileTheLogIsMade(t *testing.T) {
	for n := range max(3, rounds(t)/4) {
		t.Run(strconv.Itoa(n), func(t *testing.T) {
			t.Parallel()
			f := &folder{path: t.TempDir(), acked: map[events.CommandID]bool{}}
			for range 1 + rand.IntN(3) {
				f.killRound(t, true)
			}
			f.killRound(t, false)
			f.check(t)
		})
	}
}

type totals struct {
	kills, early, acked, unasked int
	records                      uint64
}

func (a *totals) add(f *folder) {
	a.kills += f.kills
	a.early += f.early
	a.acked += len(f.acked)
	a.unasked += f.unasked
	a.records += f.records
}

// folder is a store and what children said of it.
type folder struct {
	path    string
	acked   map[events.CommandID]bool
	kills   int
	early   int // before the child was ready
	unasked int // commands stored whose acknowledgement the kill cut off
	records uint64
}

// killRound starts a child, kills it at a random moment, while it starts or later, and keeps what it had acknowledged.
func (f *folder) killRound(t *testing.T, early bool) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childFolder+"="+f.path)
	var words strings.Builder
	cmd.Stderr = &words
	stdin, err := cmd.StdinPipe() // it ends with us
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = stdin.Close() }()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ready, said := make(chan struct{}), make(chan []events.CommandID)
	go listen(out, ready, said)

	if early {
		time.Sleep(time.Duration(rand.IntN(150)) * time.Millisecond)
		f.early++
	} else {
		<-ready
		time.Sleep(time.Duration(10+rand.IntN(600)) * time.Millisecond)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Errorf("the child ended by itself: %v", err)
	}
	for _, id := range <-said {
		f.acked[id] = true
	}
	f.kills++
	if err := cmd.Wait(); err == nil || cmd.ProcessState.ExitCode() != -1 {
		t.Errorf("the child ended by itself: %v: %s", err, words.String())
	}
}

// listen reads what the child says to the end: also what it said in the moment before it was killed.
func listen(out io.Reader, ready chan<- struct{}, said chan<- []events.CommandID) {
	var acked []events.CommandID
	open := true
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if lines.Text() == "ready" {
			open = false
			close(ready)
			continue
		}
		if id, err := events.ParseCommandID(lines.Text()); err == nil { // the last line may be cut
			acked = append(acked, id)
		}
	}
	if open {
		close(ready)
	}
	said <- acked
}

// check opens the store and compares it with what was acknowledged.
func (f *folder) check(t *testing.T) {
	t.Helper()
	log, k := f.open(t)
	defer func() { _, _ = k.Close(), log.Close() }()
	for id := range f.acked {
		if _, known := k.Known(id); !known {
			t.Errorf("command %s was acknowledged and is lost", id)
		}
	}
	if stats := k.Stats(); stats.Void+stats.Missing > 0 || len(stats.Unknown) > 0 {
		t.Errorf("the fold met what should not be there: %+v", stats)
	}
	fresh := events.NewBook()
	parts := map[events.CommandID][]string{}
	err := log.Read(t.Context(), 1, func(r events.Record) error {
		fresh.Apply(r)
		parts[r.Command] = append(parts[r.Command], r.Name)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	k.Look(func(b *events.Book) {
		if fresh.Digest() != b.Digest() {
			t.Error("a fresh replay gives another book")
		}
	})
	wantWhole(t, parts)
	f.unasked = len(parts) - len(f.acked)
	f.records = fresh.Position()
}

// wantWhole checks that each command of several events was stored whole: of finish, the first and the last are known.
func wantWhole(t *testing.T, parts map[events.CommandID][]string) {
	t.Helper()
	for id, names := range parts {
		several := names[0] == "repaired"
		if several && (len(names) < 4 || names[1] != "tested" || names[2] != "passed" || names[len(names)-1] != "alarm-raised") {
			t.Errorf("command %s is stored in part: %v", id, names)
		}
		if !several && len(names) != 1 {
			t.Errorf("command %s is stored %d times: %v", id, len(names), names)
		}
	}
}

func (f *folder) open(t *testing.T) (*natslog.Store, *keeper.Keeper) {
	t.Helper()
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: f.path})
	if err != nil {
		t.Fatalf("open the store after %d kills: %v", f.kills, err)
	}
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log})
	if err != nil {
		_ = log.Close()
		t.Fatal(err)
	}
	return log, k
}

func (f *folder) verify(t *testing.T) {
	t.Helper()
	log, k := f.open(t)
	defer func() { _, _ = k.Close(), log.Close() }()
	report, err := audit.VerifyChain(t.Context(), log)
	if err != nil || !report.Whole() || report.Void > 0 {
		t.Errorf("after %d kills: %v, %v", f.kills, report, err)
	}
}
