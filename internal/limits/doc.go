// Package limits holds the published limit sets as data and judges an over log against them.
//
// A set is a JSON file under data: what was published, by whom, in which year, where it was read, and how its open points
// are taken. A figure carries the source it was seen in; the sources are spelled out in the same file. Another published set
// is another file and no code, as long as it asks for nothing that the fields of Set cannot say.
//
// What was bowled comes in as a PlayerLog, one player's overs and outings in order of play; the ends and breaks, which
// depend on everybody's overs, come in as domain.Innings. Out come the findings, the spells, the days and what is left.
// Nothing here knows a file, a database or a clock.
//
// The directives count overs, and an over that was only begun counts as one for every bowler who delivered in it. Where the
// texts are silent the reading is our own decision, and where it matters it is a setting of the set with our default.
//
// Evaluate and Next are for one player at a time and give findings with their words. Evaluator is the same machinery for
// many players in a row: it reuses its room and leaves the words to the end.
package limits
