package exchange

import (
	"io"

	"longspell/internal/domain"
)

// The columns of players.csv, in the order of playerLayout.
const (
	playerRef = iota
	playerName
	playerBorn
	playerSex
	playerArm
	playerKind
	playerClub
	playerSquad
	playerSince
)

var playerLayout = []column{{"player", true}, {"name", false}, {"born", true}, {"sex", false}, {"arm", false}, {"kind", false},
	{"club", false}, {"squad", false}, {"since", false}}

// ReadPlayers reads players.csv. The rows are worth something only where no fault came with them.
func ReadPlayers(file string, r io.Reader) ([]Player, []LineError) {
	var out []Player
	errs := ScanPlayers(file, r, func(p *Player) { out = append(out, *p) })
	return out, errs
}

// ScanPlayers reads players.csv row by row; take gets each row without a fault and must not keep the pointer.
func ScanPlayers(file string, r io.Reader, take func(*Player)) []LineError {
	t := openTable(file, r, playerLayout)
	if !t.readHeader() {
		return t.faults()
	}
	seen := map[string]bool{}
	var p Player
	for t.next() {
		p = Player{
			Line:  t.rs.start,
			Ref:   t.text(playerRef),
			Name:  t.text(playerName),
			Born:  t.date(playerBorn, false),
			Sex:   oneOf(t, playerSex, domain.Female, domain.Male, domain.SexX),
			Arm:   oneOf(t, playerArm, domain.ArmRight, domain.ArmLeft),
			Kind:  t.kind(playerKind),
			Club:  t.text(playerClub),
			Squad: t.text(playerSquad),
			Since: t.date(playerSince, false),
		}
		if p.Ref != "" && seen[p.Ref] {
			t.refuse(playerRef, "the player is there twice")
		}
		seen[p.Ref] = true
		if !t.bad {
			take(&p)
		}
	}
	return t.faults()
}
