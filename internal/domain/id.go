package domain

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/hex"
	"time"
)

// ID is a UUID in its lower-case text form. What the service creates is UUIDv7 (RFC 9562, 5.7): ordered by time, random
// enough not to be guessed, made by whoever creates the thing, also a phone. The zero value is no id.
type ID string

// NewID makes a UUIDv7 for the instant now.
func NewID(now time.Time) ID {
	var b [16]byte
	if _, err := rand.Read(b[:]); err != nil {
		panic("domain.NewID: the system has no randomness: " + err.Error())
	}
	return idFrom(now, b)
}

func idFrom(now time.Time, b [16]byte) ID {
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(now.UnixMilli()))
	copy(b[0:6], ms[2:8])
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	var out [36]byte
	hex.Encode(out[0:8], b[0:4])
	out[8] = '-'
	hex.Encode(out[9:13], b[4:6])
	out[13] = '-'
	hex.Encode(out[14:18], b[6:8])
	out[18] = '-'
	hex.Encode(out[19:23], b[8:10])
	out[23] = '-'
	hex.Encode(out[24:36], b[10:16])
	return ID(out[:])
}

// ParseID accepts a UUID of any version in its canonical 36-character form and returns it in lower case.
func ParseID(s string) (ID, bool) {
	if len(s) != 36 {
		return "", false
	}
	out := []byte(s)
	for i, c := range out {
		switch {
		case i == 8 || i == 13 || i == 18 || i == 23:
			if c != '-' {
				return "", false
			}
		case c >= '0' && c <= '9', c >= 'a' && c <= 'f':
		case c >= 'A' && c <= 'F':
			out[i] = c + 'a' - 'A'
		default:
			return "", false
		}
	}
	return ID(out), true
}
