package domain

// BowlingKind is what was bowled in an over. It is logged per over, because the limits depend on it and because a
// slide from spin to seam is what the product looks for. The zero value means "not known".
type BowlingKind uint8

// The bowling kinds of files.md; the wicket keeper's place is the published test of "fast".
const (
	KindUnknown BowlingKind = iota
	WristSpin
	FingerSpin
	SeamUp   // the keeper stands up to the stumps
	SeamBack // a keeper of that age would stand back
)

var kindNames = [...]string{"", "wrist_spin", "finger_spin", "seam_up", "seam_back"}

// BowlingKinds lists the known kinds.
func BowlingKinds() []BowlingKind { return []BowlingKind{WristSpin, FingerSpin, SeamUp, SeamBack} }

// ParseBowlingKind reads the name of a kind; blank is KindUnknown, ok.
func ParseBowlingKind(s string) (BowlingKind, bool) {
	for i, n := range kindNames {
		if n == s {
			return BowlingKind(i), true
		}
	}
	return KindUnknown, false
}

// String is the name used in files, in the API and in the database ("" for not known).
func (k BowlingKind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return ""
}

// IsSpin reports whether the kind is wrist spin or finger spin.
func (k BowlingKind) IsSpin() bool { return k == WristSpin || k == FingerSpin }

// Arm is the bowling arm of a player; blank is not known.
type Arm string

// The two arms.
const (
	ArmRight Arm = "right"
	ArmLeft  Arm = "left"
)

// Sex as a player's family gave it; blank is not known.
type Sex string

// The values of the players file.
const (
	Female Sex = "f"
	Male   Sex = "m"
	SexX   Sex = "x"
)

// End is one of the two ends of the pitch. The zero value means "not said".
type End uint8

// The ends. Odd overs come from A and even overs from B where nobody said otherwise.
const (
	EndUnknown End = iota
	EndA
	EndB
)

// ParseEnd reads "A", "B" or blank.
func ParseEnd(s string) (End, bool) {
	switch s {
	case "":
		return EndUnknown, true
	case "A":
		return EndA, true
	case "B":
		return EndB, true
	}
	return EndUnknown, false
}

// String is "A", "B" or "".
func (e End) String() string {
	switch e {
	case EndA:
		return "A"
	case EndB:
		return "B"
	}
	return ""
}

// Other returns the other end; EndUnknown stays.
func (e End) Other() End {
	switch e {
	case EndA:
		return EndB
	case EndB:
		return EndA
	}
	return EndUnknown
}
