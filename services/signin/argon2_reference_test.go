package signin

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"testing"

	"golang.org/x/crypto/argon2"
	"golang.org/x/crypto/blake2b"
	"pgregory.net/rapid"
)

// The library takes neither a secret nor associated data, and the test vector of RFC 9106 uses both. So argon2id is written
// here a second time, slowly and after the text of the RFC: it must give the RFC's vector, and then agree with the library.

// TestReferenceGivesTheVector: RFC 9106, section 5.3.
func TestReferenceGivesTheVector(t *testing.T) {
	r := reference{password: bytes.Repeat([]byte{1}, 32), salt: bytes.Repeat([]byte{2}, 16), secret: bytes.Repeat([]byte{3}, 8), data: bytes.Repeat([]byte{4}, 12),
		passes: 3, memory: 32, lanes: 4, length: 32}
	const want = "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"
	if got := hex.EncodeToString(r.tag()); got != want {
		t.Errorf("tag %s, the RFC has %s", got, want)
	}
}

// What is stored of a password is what the reference computes of it.
func TestStoredHashAgreesWithTheReference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		password := rapid.StringN(0, 40, 120).Draw(t, "password")
		p := Params{MemoryKiB: rapid.Uint32Range(32, 200).Draw(t, "memory"), Passes: rapid.Uint32Range(1, 3).Draw(t, "passes"), Lanes: rapid.Uint8Range(1, 4).Draw(t, "lanes")}
		s, err := readHash(p.hash(password))
		if err != nil {
			t.Fatal(err)
		}
		r := reference{password: normal(password), salt: s.salt, passes: p.Passes, memory: p.MemoryKiB, lanes: uint32(p.Lanes), length: hashBytes}
		if want := r.tag(); !bytes.Equal(s.key, want) {
			t.Fatalf("%+v of %q: stored %x, reference %x", p, password, s.key, want)
		}
		if !s.is(password) || s.is(password+"x") {
			t.Fatal("the right password is refused, or a wrong one taken")
		}
	})
}

// reference computes Argon2id as RFC 9106, section 3, describes it. Names are those of the RFC.
type reference struct {
	password, salt, secret, data  []byte
	passes, memory, lanes, length uint32
}

type block [128]uint64

func le32(n uint32) []byte { return binary.LittleEndian.AppendUint32(nil, n) }

// h0 is the first hash, section 3.2.
func (r reference) h0() []byte {
	var in []byte
	for _, n := range []uint32{r.lanes, r.length, r.memory, r.passes, argon2.Version, 2} {
		in = append(in, le32(n)...)
	}
	for _, part := range [][]byte{r.password, r.salt, r.secret, r.data} {
		in = append(append(in, le32(uint32(len(part)))...), part...)
	}
	sum := blake2b.Sum512(in)
	return sum[:]
}

// variable is H' of section 3.3.
func variable(length uint32, in []byte) []byte {
	in = append(le32(length), in...)
	if length <= 64 {
		h, _ := blake2b.New(int(length), nil)
		h.Write(in)
		return h.Sum(nil)
	}
	var out []byte
	v := blake2b.Sum512(in)
	for length-uint32(len(out)) > 64 {
		out = append(out, v[:32]...)
		if length-uint32(len(out)) > 64 {
			v = blake2b.Sum512(v[:])
			continue
		}
		h, _ := blake2b.New(int(length)-len(out), nil)
		h.Write(v[:])
		return h.Sum(out)
	}
	return out
}

func toBlock(b []byte) (out block) {
	for i := range out {
		out[i] = binary.LittleEndian.Uint64(b[8*i:])
	}
	return out
}

func (r reference) tag() []byte {
	m := 4 * r.lanes * (r.memory / (4 * r.lanes))
	q := m / r.lanes // columns
	segment := q / 4
	memory := make([]block, m)
	at := func(lane, column uint32) *block { return &memory[lane*q+column] }
	h0 := r.h0()
	for lane := range r.lanes {
		for column := range uint32(2) {
			*at(lane, column) = toBlock(variable(1024, append(append(bytes.Clone(h0), le32(column)...), le32(lane)...)))
		}
	}
	for pass := range r.passes {
		for slice := range uint32(4) {
			for lane := range r.lanes {
				r.fill(at, pass, slice, lane, segment, q, m)
			}
		}
	}
	final := *at(0, q-1)
	for lane := uint32(1); lane < r.lanes; lane++ {
		for i, v := range at(lane, q-1) {
			final[i] ^= v
		}
	}
	raw := make([]byte, 0, 1024)
	for _, v := range final {
		raw = binary.LittleEndian.AppendUint64(raw, v)
	}
	return variable(r.length, raw)
}

// fill computes one segment, sections 3.4.1.3 and 3.4.2.
func (r reference) fill(at func(lane, column uint32) *block, pass, slice, lane, segment, q, m uint32) {
	independent := pass == 0 && slice < 2
	var addresses, zero block
	input := block{uint64(pass), uint64(lane), uint64(slice), uint64(m), uint64(r.passes), 2}
	for i := range segment {
		if independent && i%128 == 0 {
			input[6]++
			addresses = compress(zero, compress(zero, input))
		}
		if pass == 0 && slice == 0 && i < 2 {
			continue
		}
		column := slice*segment + i
		before := at(lane, (column+q-1)%q)
		j := before[0]
		if independent {
			j = addresses[i%128]
		}
		j1, from := uint64(uint32(j)), uint32(j>>32)%r.lanes
		if pass == 0 && slice == 0 {
			from = lane
		}
		// How many blocks may be referred to, and where the first of them is.
		finished, start := q-segment, (slice+1)%4*segment
		if pass == 0 {
			finished, start = slice*segment, 0
		}
		area := finished
		if from == lane {
			area += i - 1
		} else if i == 0 {
			area--
		}
		x := j1 * j1 >> 32
		z := uint64(area) - 1 - (uint64(area) * x >> 32)
		next := compress(*before, *at(from, uint32((uint64(start)+z)%uint64(q))))
		if pass > 0 {
			for k, v := range at(lane, column) {
				next[k] ^= v
			}
		}
		*at(lane, column) = next
	}
}

// compress is G of section 3.5.
func compress(x, y block) block {
	var r block
	for i := range r {
		r[i] = x[i] ^ y[i]
	}
	z := r
	for row := range 8 {
		var at [16]int
		for i := range at {
			at[i] = 16*row + i
		}
		permute(&z, at)
	}
	for column := range 8 {
		var at [16]int
		for i := range 8 {
			at[2*i], at[2*i+1] = 16*i+2*column, 16*i+2*column+1
		}
		permute(&z, at)
	}
	for i := range z {
		z[i] ^= r[i]
	}
	return z
}

// permute is P of section 3.6.
func permute(z *block, at [16]int) {
	for _, q := range [8][4]int{{0, 4, 8, 12}, {1, 5, 9, 13}, {2, 6, 10, 14}, {3, 7, 11, 15}, {0, 5, 10, 15}, {1, 6, 11, 12}, {2, 7, 8, 13}, {3, 4, 9, 14}} {
		a, b, c, d := &z[at[q[0]]], &z[at[q[1]]], &z[at[q[2]]], &z[at[q[3]]]
		for _, turn := range [2][2]uint{{32, 24}, {16, 63}} {
			*a += *b + 2*uint64(uint32(*a))*uint64(uint32(*b))
			*d = right(*d^*a, turn[0])
			*c += *d + 2*uint64(uint32(*c))*uint64(uint32(*d))
			*b = right(*b^*c, turn[1])
		}
	}
}

func right(v uint64, n uint) uint64 { return v>>n | v<<(64-n) }
