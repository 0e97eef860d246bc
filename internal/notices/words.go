package notices

import (
	"fmt"
	"slices"

	"longspell/internal/domain"
)

// Caution stands under every notice and every allowance. Not judged bowling, other rules and a child's own body are outside
// what the product knows.
const Caution = "Counted from what was logged here, against the limit set named. It is not medical advice, and bowling that was not logged is not counted. " +
	"Your competition's rules and a qualified adult decide. If a young player has pain or is unwell: stop, tell a parent or guardian, and seek advice."

// WrittenForFast stands beside what is left of limits that are written for fast bowling, because spinners are counted there too.
const WrittenForFast = "These limits are written for fast bowlers. No published limit for spin alone is known; overs of spin count once fast bowling was bowled that day, where the text says so. "

var limitWords = map[string]string{
	"spell_overs":  "overs in one spell",
	"rest_overs":   "rest between spells",
	"day_overs":    "overs in one day",
	"week_overs":   "overs in a week",
	"week_balls":   "balls in a week",
	"days_in_7":    "bowling days in any seven days",
	"run_of_days":  "bowling days in a row",
	"net_balls":    "balls in one net session",
	"net_per_week": "net sessions in seven days",
	"bowler_cap":   "overs for one bowler in an innings",
}

// LimitWords is the plain name of a limit.
func LimitWords(limit string) string {
	if w, ok := limitWords[limit]; ok {
		return w
	}
	return limit
}

// Says is one sentence that tells why the notice is there, with its numbers and since when. Limit sets of weight "guidance"
// advise; the others forbid, and the sentence says which.
func Says(n domain.Notice) string {
	live := liveFacts(n)
	verb := "Past the published limit for"
	switch n.Weight {
	case "guidance":
		verb = "Past the published guidance for"
	case "policy":
		verb = "Past the house rule for"
	}
	what := LimitWords(n.Limit)
	switch len(live) {
	case 0:
		return fmt.Sprintf("The log was corrected: nothing past the limit for %s remains.", what)
	case 1:
		return fmt.Sprintf("%s %s on %s. %s", verb, what, shown(live[0].Date), live[0].Says)
	}
	days := map[domain.Date]bool{}
	worst := live[0]
	for _, f := range live {
		days[f.Date] = true
		if f.Actual-f.Allowed > worst.Actual-worst.Allowed {
			worst = f
		}
	}
	if len(days) == 1 {
		return fmt.Sprintf("%s %s, %d times on %s. The most: %s", verb, what, len(live), shown(live[0].Date), worst.Says)
	}
	return fmt.Sprintf("%s %s, %d times on %d days from %s to %s. The most: %s", verb, what, len(live), len(days),
		shown(live[0].Date), shown(live[len(live)-1].Date), worst.Says)
}

func liveFacts(n domain.Notice) []domain.NoticeFact {
	var live []domain.NoticeFact
	for _, f := range n.Facts {
		if !f.Withdrawn {
			live = append(live, f)
		}
	}
	slices.SortStableFunc(live, func(a, b domain.NoticeFact) int { return a.Date.Compare(b.Date) })
	return live
}

// shown prints a date as "Sat 9 May 2026".
func shown(d domain.Date) string {
	y, m, day := d.YMD()
	months := [...]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
	return fmt.Sprintf("%s %d %s %d", d.Weekday().String()[:3], day, months[m-1], y)
}

// DoNext are concrete steps for an adult who need not know anything about bowling.
func DoNext(limit string) []string {
	ask := "Ask the player and a parent how the bowling arm, shoulder and back feel. If anything hurts: no bowling, and seek qualified advice."
	talk := "Talk to the other adults who give this player the ball, and agree who keeps count this week."
	switch limit {
	case "days_in_7", "run_of_days", "net_per_week":
		return []string{"Give the next day, and better two, without bowling: batting, fielding and catching are fine.", talk, ask}
	case "net_balls":
		return []string{"At the next nets agree the number of balls before the first one, and stop there.", ask}
	case "rest_overs":
		return []string{"Before the next match, note the over from which this player may bowl again after each spell.", ask}
	case "bowler_cap":
		return []string{"Check the competition's rule for overs per bowler with the captain and the scorer.", ask}
	}
	return []string{"Plan the next match with shorter spells and name the bowler who takes over.", talk, ask}
}

// Figures is what a fact says to an adult who may not read the outing it happened at: the day's figures, and nothing about where,
// against whom or when in the match.
func Figures(limit string, f domain.NoticeFact) string {
	if f.Allowed < 0 {
		return "Came back to bowl before the rest owed after a spell was over."
	}
	return fmt.Sprintf("%d for the limit of %s, where %d is the most.", f.Actual, LimitWords(limit), f.Allowed)
}
