package app

import (
	"context"
	"strings"

	"longspell/internal/domain"
)

// places reads the season and the clubs that rows may name.
func (im *importing) places(ctx context.Context) error {
	today := im.s.Today()
	for page := (domain.Page{Size: 100}); ; {
		got, err := im.tx.Seasons(ctx, im.s, page)
		if err != nil {
			return err
		}
		for _, v := range got.Items {
			if !today.Before(v.FirstDay) && !today.After(v.LastDay) {
				im.season = v
			}
		}
		if page.After = got.Next; got.Next == "" {
			break
		}
	}
	if im.season.ID == "" {
		if !im.s.Operator() {
			return domain.RuleBroken("no_season", "Your region has no season for today, so nobody can be registered. Ask the region officer to add it.")
		}
		v, err := im.tx.PutSeason(ctx, im.s, SeasonAt(im.region, today, im.id()))
		if err != nil {
			return err
		}
		im.season = v
	}
	im.clubs = map[string]domain.Club{}
	for page := (domain.Page{Size: 100}); ; {
		got, err := im.tx.Clubs(ctx, im.s, page)
		if err != nil {
			return err
		}
		for _, c := range got.Items {
			im.known(c)
		}
		if page.After = got.Next; got.Next == "" {
			return nil
		}
	}
}

func (im *importing) known(c domain.Club) {
	im.clubs[strings.ToLower(c.Name)] = c
	im.clubs[strings.ToLower(c.ShortName)] = c
	im.clubs[string(c.ID)] = c
}

// club finds the club that a row belongs to; false after a fault.
func (im *importing) club(ctx context.Context, line int, name string) (domain.Club, bool, error) {
	if im.cmd.ClubID != "" {
		c, ok := im.clubs[string(im.cmd.ClubID)]
		if !ok {
			return c, false, domain.NotFound()
		}
		if n := strings.ToLower(name); n != "" && n != strings.ToLower(c.Name) && n != strings.ToLower(c.ShortName) {
			im.fault(line, "club", name, "this file is imported for "+c.Name+"; leave the column blank or name that club")
			return c, false, nil
		}
		return c, true, nil
	}
	if name == "" {
		im.fault(line, "club", name, "a club is needed: name it here, or import for one club")
		return domain.Club{}, false, nil
	}
	if c, ok := im.clubs[strings.ToLower(name)]; ok {
		return c, true, nil
	}
	c, err := im.tx.PutClub(ctx, im.s, domain.Club{ID: im.id(), Name: name, ShortName: cut(name, 20)})
	if err != nil {
		return c, false, err
	}
	im.known(c)
	im.note("made the club %q", name)
	return c, true, nil
}

func cut(s string, n int) string {
	r := []rune(s)
	return string(r[:min(n, len(r))])
}

// squadNamed finds a squad of a club by name in the season at hand, or makes it; "" for a blank name.
func (im *importing) squadNamed(ctx context.Context, club domain.Club, name string) (domain.ID, error) {
	if name == "" {
		return "", nil
	}
	for page := (domain.Page{Size: 100}); ; {
		got, err := im.tx.Squads(ctx, im.s, SquadFilter{ClubID: club.ID}, page)
		if err != nil {
			return "", err
		}
		for _, q := range got.Items {
			if q.SeasonID == im.season.ID && strings.EqualFold(q.Name, name) {
				return q.ID, nil
			}
		}
		if page.After = got.Next; got.Next == "" {
			break
		}
	}
	q, err := im.tx.PutSquad(ctx, im.s, domain.Squad{ID: im.id(), ClubID: club.ID, SeasonID: im.season.ID, Name: name})
	if err == nil {
		im.note("made the squad %q of %s", name, club.Name)
	}
	return q.ID, err
}
