// Package domain holds the nouns of the product and the rules that each obeys by itself. It imports only the standard
// library, so everything else may import it.
//
// # Words
//
// Region: the tenant. Club: belongs to a region, sees its own. Squad: a team or training group of a club in a season.
//
// Player: a junior, known once per region. Registration: player x club x season. Transfer: a move to another club of the
// region; not a loss. Appointment: a role (region officer, club lead, coach, guardian) over a region, club, squad or child.
//
// Outing (not session): one dated thing at which people bowl; planned, held or called off. Over log: over by over, who bowled
// what from which end. Spell: overs in a row as the directives read it. Quick spell: a spell logged in one go. Practice: balls
// that are not logged over by over. Correction: what an entry was before it was changed.
//
// Limit set (not rule set): a published table of limits with its source. Adoption: a region follows a limit set. Allowance:
// what is left of a limit now. Notice (not alert): what the nightly run raises for an adult; its facts are the findings.
package domain
