package naive

// SpellRow is one spell in the answer of check.
type SpellRow struct {
	Player           string `json:"player"`
	Match            string `json:"match"`
	Innings          int    `json:"innings"`
	FirstOver        int    `json:"first_over"`
	LastOver         int    `json:"last_over"`
	Overs            int    `json:"overs"`
	FastOvers        int    `json:"fast_overs"`
	Balls            int    `json:"balls"`
	EarliestSameEnd  *int   `json:"earliest_same_end"`
	EarliestOtherEnd *int   `json:"earliest_other_end"`
}

// DayRow is one player on one date in the answer of check.
type DayRow struct {
	Player       string `json:"player"`
	Date         string `json:"date"`
	Overs        int    `json:"overs"`
	FastOvers    int    `json:"fast_overs"`
	Balls        int    `json:"balls"`
	Spells       int    `json:"spells"`
	LongestSpell int    `json:"longest_spell"`
}

// LeftRow is what is left to a player on the day of the answer.
type LeftRow struct {
	Player     string `json:"player"`
	Date       string `json:"date"`
	SpellOvers *int   `json:"spell_overs"`
	DayOvers   *int   `json:"day_overs"`
	DaysIn7    *int   `json:"days_in_7"`
	RunOfDays  *int   `json:"run_of_days"`
}

// spellRows is A26 with A12: every spell, spin too; earliest speaks of that spell alone.
func (c *checker) spellRows(player string) []SpellRow {
	var rows []SpellRow
	for _, s := range c.log.spells(player, c.breakMin) {
		first, last := s.first(), s.last()
		row := SpellRow{
			Player: player, Match: first.Match, Innings: first.Innings, FirstOver: first.Over, LastOver: last.Over,
			Overs: len(s.overs), FastOvers: c.fastOvers(c.log, s),
		}
		for _, o := range s.overs {
			row.Balls += o.Balls
		}
		if c.owes(c.log, s) {
			end := ends(c.log.inningsOf(last.Match, last.Innings))
			from := earliest(end, len(s.overs), last.Over)
			row.EarliestSameEnd = new(firstFrom(end, from, end[last.Over]))
			row.EarliestOtherEnd = new(firstFrom(end, from, other(end[last.Over])))
		}
		rows = append(rows, row)
	}
	return rows
}

// dayRows is A26: overs and balls include counted outings; spells and longest_spell are of the over log alone.
func (c *checker) dayRows(player string) []DayRow {
	var rows []DayRow
	spells := c.log.spells(player, c.breakMin)
	for _, date := range c.dates(player) {
		row := DayRow{Player: player, Date: date}
		for _, o := range c.dayOutings(player, date) {
			row.Overs += o.overs()
			row.Balls += o.balls()
			if c.isFast(c.log, player, o.BowlingKind) {
				row.FastOvers += o.overs()
			}
		}
		for _, o := range c.dayOvers(player, date) {
			row.Overs++
			row.Balls += o.Balls
			if c.isFast(c.log, player, o.Kind) {
				row.FastOvers++
			}
		}
		for _, s := range spells {
			if s.first().Date == date {
				row.Spells++
				row.LongestSpell = max(row.LongestSpell, len(s.overs))
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// leftRow is A27.
func (c *checker) leftRow(player string) LeftRow {
	row := LeftRow{Player: player, Date: c.asof}
	b := c.band(c.log, player, c.asof)
	if b == nil {
		return row
	}
	inSpell := 0
	for _, s := range c.log.spells(player, c.breakMin) { // of one date they are in order: the last one stays
		if s.first().Date == c.asof {
			inSpell = 0
			if c.judges(s.first()) {
				inSpell = len(s.overs)
			}
		}
	}
	row.SpellOvers = new(max(0, b.spell-inSpell))
	row.DayOvers = new(max(0, b.day-c.dayCounted(player, c.asof)))
	if b.days > 0 {
		ends := c.asof
		if !c.bowlingDay(player, ends) {
			ends = shift(ends, -1)
		}
		row.DaysIn7 = new(max(0, b.days-c.daysIn7(player, c.asof)))
		row.RunOfDays = new(max(0, b.inARow-c.run(player, ends)))
	}
	return row
}
