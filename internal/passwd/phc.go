package passwd

import (
	"encoding/base64"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// phc is a stored hash, written as "PHC string format" (Password Hashing Competition, 2016,
// https://github.com/P-H-C/phc-string-format): $argon2id$v=19$m=47104,t=1,p=1$SALT$HASH, with keyid=... where a pepper was used.
type phc struct {
	cost  Cost
	keyID string
	salt  []byte
	hash  []byte
}

// The most that a stored hash may ask for: one that was tampered with must not exhaust the machine.
const (
	mostMemoryKiB = 1 << 20
	mostPasses    = 16
	mostLanes     = 16
)

var errNotOurs = errors.New("passwd: the stored text is not a password hash of ours")

// String writes the hash as it is stored.
func (p phc) String() string {
	params := fmt.Sprintf("m=%d,t=%d,p=%d", p.cost.MemoryKiB, p.cost.Passes, p.cost.Lanes)
	if p.keyID != "" {
		params += ",keyid=" + p.keyID
	}
	enc := base64.RawStdEncoding.EncodeToString
	return "$argon2id$v=19$" + params + "$" + enc(p.salt) + "$" + enc(p.hash)
}

func parsePHC(s string) (phc, error) {
	part := strings.Split(s, "$")
	if len(part) != 6 || part[0] != "" || part[1] != "argon2id" || part[2] != "v=19" {
		return phc{}, errNotOurs
	}
	var p phc
	for _, kv := range strings.Split(part[3], ",") {
		name, value, _ := strings.Cut(kv, "=")
		if name == "keyid" {
			p.keyID = value
			continue
		}
		n, err := strconv.ParseUint(value, 10, 32)
		if err != nil {
			return phc{}, errNotOurs
		}
		switch name {
		case "m":
			p.cost.MemoryKiB = uint32(min(n, mostMemoryKiB+1))
		case "t":
			p.cost.Passes = uint32(min(n, mostPasses+1))
		case "p":
			p.cost.Lanes = uint8(min(n, mostLanes+1))
		default:
			return phc{}, errNotOurs
		}
	}
	if !p.cost.within() {
		return phc{}, errNotOurs
	}
	var err1, err2 error
	p.salt, err1 = base64.RawStdEncoding.Strict().DecodeString(part[4])
	p.hash, err2 = base64.RawStdEncoding.Strict().DecodeString(part[5])
	if err1 != nil || err2 != nil || len(p.salt) < 8 || len(p.hash) < 16 || len(p.salt)+len(p.hash) > 256 {
		return phc{}, errNotOurs
	}
	return p, nil
}

func (c Cost) within() bool {
	return c.MemoryKiB > 0 && c.MemoryKiB <= mostMemoryKiB && c.Passes > 0 && c.Passes <= mostPasses && c.Lanes > 0 && c.Lanes <= mostLanes
}
