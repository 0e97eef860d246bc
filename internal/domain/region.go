package domain

import (
	"sync"
	"time"
)

// Region is the tenant: one cricket region with its clubs. Nothing about a child ever leaves its region.
type Region struct {
	ID               ID
	Name             string
	TimeZone         string // IANA name; "today" is the region's
	SeasonStartMonth int    // 1..12
	SeasonStartDay   int    // 1..31
	Demo             bool   // invented data; the production service refuses to start on it
	CreatedAt        time.Time
	Version          int
}

// Location is the region's time zone; UTC if the name is not known to this machine.
func (r Region) Location() *time.Location {
	if loc, ok := zones.Load(r.TimeZone); ok {
		return loc.(*time.Location)
	}
	loc, err := time.LoadLocation(r.TimeZone)
	if err != nil {
		loc = time.UTC
	}
	zones.Store(r.TimeZone, loc)
	return loc
}

// zones keeps time zones by name, because the standard library reads the file each time.
var zones sync.Map

// Season is a named stretch of days in which a region plays.
type Season struct {
	ID       ID
	Name     string
	FirstDay Date
	LastDay  Date
	Version  int
}

// Adoption says that a region follows a limit set from a day on, with its readings of the text's open points.
type Adoption struct {
	ID       ID
	LimitSet string
	From     Date
	To       Date // zero = until further notice
	Settings map[string]string
	Version  int
}

// On reports whether the adoption is in force on day d.
func (a Adoption) On(d Date) bool {
	return !d.Before(a.From) && (a.To.IsZero() || !d.After(a.To))
}

// Club belongs to a region and is the isolation key inside it: a club sees its own.
type Club struct {
	ID        ID
	Name      string
	ShortName string
	Version   int
}

// Squad is a team or training group of a club in a season.
type Squad struct {
	ID          ID
	ClubID      ID
	SeasonID    ID
	Name        string
	AgeGroup    string // for example U13; "" = mixed
	PlayerCount int    // read only: members on the day of reading
	Version     int
}

// SquadPlayer is a player's time in a squad.
type SquadPlayer struct {
	SquadID  ID
	PlayerID ID
	From     Date
	To       Date // zero = still
}
