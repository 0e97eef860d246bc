package demo

import (
	"encoding/binary"
	"encoding/hex"
	"math/rand/v2"

	"longspell/internal/domain"
)

// idMaker makes ids of the shape of UUIDv7 (RFC 9562, 5.7) from the seed alone.
type idMaker struct {
	r    *rand.Rand
	made map[int]uint64 // ids made so far, by serial number of the day
}

func newIDMaker(r *rand.Rand) *idMaker { return &idMaker{r: r, made: map[int]uint64{}} }

var unixEpoch = domain.MustDate("1970-01-01")

const (
	msInDay  = 24 * 60 * 60 * 1000
	msToNine = 9 * 60 * 60 * 1000
)

// on makes the next id of a day: the day's first stands at 09:00 UTC, each further one a millisecond later.
func (m *idMaker) on(d domain.Date) domain.ID {
	n := m.made[d.Serial()]
	m.made[d.Serial()] = n + 1
	ms := uint64(d.Sub(unixEpoch))*msInDay + msToNine + n
	var b [16]byte
	binary.BigEndian.PutUint64(b[0:8], ms<<16|m.r.Uint64()&0x0fff|0x7000)
	binary.BigEndian.PutUint64(b[8:16], m.r.Uint64()&^(0b11<<62)|0b10<<62)
	var out [36]byte
	for i, at := 0, 0; i < 16; i++ {
		if i == 4 || i == 6 || i == 8 || i == 10 {
			out[at] = '-'
			at++
		}
		hex.Encode(out[at:at+2], b[i:i+1])
		at += 2
	}
	return domain.ID(out[:])
}
