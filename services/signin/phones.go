package signin

import (
	"context"
	"fmt"
	"strings"
	"time"

	"go.uber.org/zap"

	"valveround/events"
)

// codeLetters leave out what is mistaken for something else when it is read aloud: I, L, O, U (Crockford's base 32).
const codeLetters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

const codeLength = 8 // 40 bits

// MakeCode makes a code that enrols one phone for a person on a crew, within ten minutes. It lives in memory only.
func (d *Door) MakeCode(maker, person events.PersonID, crew events.CrewID) (string, time.Time, error) {
	b := d.cfg.Keeper.Book()
	if b.People[person] == nil {
		return "", time.Time{}, fmt.Errorf("there is no person %q on record", person)
	}
	if c := b.Crews[crew]; c == nil || c.Office != d.cfg.Office {
		return "", time.Time{}, fmt.Errorf("there is no crew %q in this office", crew)
	}
	var text strings.Builder
	for _, r := range random(codeLength) {
		text.WriteByte(codeLetters[r&31])
	}
	now := d.cfg.Now()
	c := code{person, crew, maker, now.Add(codeFor)}
	d.mu.Lock()
	defer d.mu.Unlock()
	for hash, old := range d.codes {
		if !now.Before(old.until) {
			delete(d.codes, hash)
		}
	}
	d.codes[hashOf(text.String())] = c
	return text.String()[:4] + "-" + text.String()[4:], c.until, nil
}

// codeOf reads a typed code: hyphens and spaces do not matter, nor case, nor an O for a zero or an I or L for a one.
func codeOf(typed string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '-', ' ':
			return -1
		case 'O':
			return '0'
		case 'I', 'L':
			return '1'
		}
		return r
	}, strings.ToUpper(typed))
}

// takeCode uses a code up. Whoever guesses makes all that are open void before a guess can be right: twenty tries at some
// open codes among 2^40.
func (d *Door) takeCode(typed string) (code, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	hash := hashOf(codeOf(typed))
	c, ok := d.codes[hash]
	delete(d.codes, hash)
	if ok && d.cfg.Now().Before(c.until) {
		d.wrong = 0
		return c, true
	}
	if d.wrong++; d.wrong >= wrongCodes {
		clear(d.codes)
		d.wrong = 0
		d.cfg.Logger.Warn("too many wrong codes for phones: all that were open are void")
	}
	return code{}, false
}

// Enrol gives a phone its key in exchange for a code.
func (d *Door) Enrol(ctx context.Context, address, typed, name, agent string) (string, error) {
	if err := d.tries(address, ""); err != nil {
		return "", err
	}
	c, ok := d.takeCode(typed)
	if !ok {
		return "", ErrCode
	}
	secret := token()
	p := phone{Phone: "phone-" + hashOf(secret)[:12], Person: c.person, Seen: d.cfg.Now(), Agent: agentOf(agent)}
	// The key first: without its event it opens nothing.
	if err := d.put(ctx, phoneKey+hashOf(secret), p); err != nil {
		return "", err
	}
	do := events.EnrolPhone{Person: c.person, PhoneEnrolled: events.PhoneEnrolled{Phone: p.Phone, Office: d.cfg.Office, Crew: c.crew, Name: agentOf(name)}}
	if _, err := d.cfg.Keeper.Do(ctx, d.command(c.maker, do)); err != nil {
		return "", err
	}
	d.mu.Lock()
	d.phones[hashOf(secret)] = &p
	d.mu.Unlock()
	return secret, nil
}

// Phone says whom the key of a phone acts for; false when there is none, it was not used for long, or it was revoked. A
// phone acts as a tech and as nothing else, whatever else the person may do.
func (d *Door) Phone(ctx context.Context, key string) (Who, bool) {
	hash, now := hashOf(key), d.cfg.Now()
	d.mu.Lock()
	p := d.phones[hash]
	if p == nil || now.Sub(p.Seen) > d.cfg.PhoneIdle {
		d.mu.Unlock()
		return Who{}, false
	}
	note := now.Sub(p.Seen) > noteEvery
	if note {
		p.Seen = now
	}
	kept := *p
	d.mu.Unlock()
	person := d.cfg.Keeper.Book().People[kept.Person]
	if person == nil {
		return Who{}, false
	}
	enrolled := person.Access.Phone(kept.Phone)
	if enrolled == nil || enrolled.Revoked || enrolled.Office != d.cfg.Office {
		return Who{}, false
	}
	if note {
		if err := d.put(ctx, phoneKey+hash, kept); err != nil {
			d.cfg.Logger.Warn("it was not written down that a phone was seen", zap.Error(err))
		}
	}
	return Who{Person: kept.Person, Roles: []events.Role{events.RoleTech}, Phone: kept.Phone, Crew: enrolled.Crew}, true
}

// DropPhone forgets the key of a phone that was revoked.
func (d *Door) DropPhone(ctx context.Context, id string) error {
	d.mu.Lock()
	key := ""
	for hash, p := range d.phones {
		if p.Phone == id {
			key = phoneKey + hash
			delete(d.phones, hash)
		}
	}
	d.mu.Unlock()
	if key == "" {
		return nil
	}
	return d.cfg.Store.Forget(ctx, key)
}

// PhoneSeen is when a phone was last seen, and how its browser describes itself; zero when it has no key any more.
func (d *Door) PhoneSeen(id string) (time.Time, string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, p := range d.phones {
		if p.Phone == id {
			return p.Seen, p.Agent
		}
	}
	return time.Time{}, ""
}

// ActsFor reports whether somebody may record for a crew: a phone for the crews it or another phone of its person is or was
// enrolled with, so that what was recorded before the crews were changed still comes in; a person also for the crews that
// they belong to.
func (d *Door) ActsFor(who Who, crew events.CrewID) bool {
	b := d.cfg.Keeper.Book()
	if c := b.Crews[crew]; c != nil {
		for _, p := range c.People {
			if p == who.Person {
				return true
			}
		}
	}
	p := b.People[who.Person]
	if p == nil {
		return false
	}
	for _, phone := range p.Access.Phones {
		if phone.Crew == crew && phone.Office == d.cfg.Office {
			return true
		}
	}
	return false
}
