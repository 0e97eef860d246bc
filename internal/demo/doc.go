// Package demo invents a whole cricket region, so that everything in the product can be looked at without one real child in
// it. Build is pure: the same seed and the same day give the same region, to the last id.
//
// # What is invented
//
// Everybody and every place. Surnames and place names are put together from syllables, first names come from a mixed list, so
// that no person, club, school or ground is meant. Habits (who comes, who bowls, how long a spell is) are made up to look
// plausible; attendance of a child follows Beta(6,3), a mean of two thirds. Nothing here is evidence of anything.
//
// # The calendar
//
// A season runs from 15 April to 14 April of the next year and is named after the year in which it begins. It has an outdoor
// summer (15 April to 14 September: nets, a match a week, rain) and an indoor winter (11 October to 14 April: fewer nets, now
// and then a short indoor match), with a pause in autumn and one at Christmas. There are three seasons; the third contains
// today. Two rules keep something happening in every week of the year:
//
//   - In the fortnight before today and the week after it there is no pause; the clubs train, indoors if need be.
//   - From 8 April to 14 May a season that begins on 15 April would be too old to hold the week to come, or too young to have a
//     history of its own. The region then begins its season on 1 March, which its SeasonStartMonth and SeasonStartDay say.
//
// Squads follow the age on 31 August of the year before the season, so that somebody who plays is from 9 to 18 years old.
//
// # The stories
//
// In the ten days up to yesterday seven juniors bowl more than the published figures for their age: see stories.go. Everybody
// else mostly keeps to them, as a careful club would, with a slip now and then in all three seasons.
//
// # Ids and versions
//
// Ids have the shape of UUIDv7; the time in them is that of the day to which the thing belongs, counted on through the day, so
// that they are in the order in which things would have been made. Every Version is 0: nothing has been stored yet.
package demo
