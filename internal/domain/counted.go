package domain

// CountedOvers is the number of overs for which an outing that was not logged over by over counts: none in the nets and at
// home, where balls are what is counted; elsewhere the begun overs given, or the balls at six to the over, a begun over as one.
func CountedOvers(at OutingKind, balls, overs int, oversGiven bool) int {
	switch {
	case at == OutingNets || at == OutingHome:
		return 0
	case oversGiven:
		return overs
	}
	return (balls + 5) / 6
}
