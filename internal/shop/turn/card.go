package turn

import "footwork/supports"

// Kind is what a card asks for.
type Kind int

const (
	Question Kind = iota // yes or no, of What
	Read                 // one reading, nothing turned
	Rest                 // touch nothing for a while, then read again
	Trial                // turn a little to see which way it goes, and read
	Step                 // turn until the reading is there
	Solid                // feel Feel: yes, or free and the foot
	Touch                // raise until the foot just touches, and say so
	Angle                // turn by the angle: no instrument sees it well enough; say done
	Back                 // turn the screw back until the reading is as before
	Slacken              // slacken Foot's nut, turn nothing, and read
	Nut                  // tighten Foot's nut and say lock, or skip
	Locked               // the nut was tightened: read again
	Misfit               // the reading does not fit: yes takes it, no reads again
	Bolt                 // tighten the bolts in the order of Feet by a third, and read
	Repack               // tightening moved the bed too far: slacken and repack
	Two                  // two people are needed: two, or skip
	Resurvey             // readings tell no more: take Surveys anew, or skip
	Over                 // nothing more to do
)

// What is asked before anything is turned.
type What int

const (
	BoltsSlack What = iota
	NothingTall
	DriveIsolated
	Blocked
	LockNuts
	Alone
)

// Ending is why a session is over.
type Ending int

const (
	Stopped   Ending = iota // by hand
	Refused                 // by a no to What
	Within                  // surely within tolerance
	NoGain                  // nothing is expected to be gained that can be seen
	NothingTo               // no foot is left that helps
	Unsafe                  // what would gain may leave a foot light, or load one beyond its rating
	Survey                  // a survey was written down: the bed is known anew
)

// Meaning is what a reading that does not fit could mean.
type Meaning int

const (
	WrongWay  Meaning = iota // the foot went the other way
	WrongFoot                // another foot was turned: Card.Others
	Unmoved                  // nothing moved: the foot hangs, or the screw winds up
	Sign                     // read with the wrong sign
	Tenfold                  // a decimal point in the wrong place
	Knock                    // the instrument was knocked, or misread
)

// Card is what a person at the bed is shown. Readings are SI: rad of tilt, or m.
type Card struct {
	Kind
	What      What // of a Question
	Step      int  // number of this visit, from 1
	Of        int  // how many are planned
	Foot      string
	Raise     float64           // m, of the move
	By        supports.Adjuster // what moves it
	Survey    string            // the instrument's set-up; "" none, or an indicator
	Gauge     bool              // an indicator beside the foot: that was set to nought when it was put there
	At        float64           // m; of a carriage the trailing foot
	Before    float64
	Until     float64
	Within    float64  // 95 %
	ByNut     float64  // what its lock nut is known to bring of the reading, after that
	Down      bool     // the foot carries, and is to be let down until it turns freely before it is to touch
	Part      bool     // of the way: what it does to others is to be seen before it goes farther
	Settle    bool     // the bed is to come to rest after it
	Feel      []string // feet that must stay solid
	Lightened string   // the foot that went light in this visit, and is to carry by it
	Others    []string
	Means     []Meaning
	Fed       float64 // the reading that does not fit
	Wait      bool    // it was still moving
	Ending    Ending
	Surveys   []string // to take, to be sure
	Now       float64  // m, zone; of Resurvey
	Known     float64  // m, what the feet could bring it to, were the bed known; 0 after too many turns
	Few       bool     // of Resurvey: hardly any bed that the last survey left possible reads as was read since
	News      *News    // what the last reading told
	Came      []News   // of Resurvey and Over: by how much each foot that was turned is raised since the survey
}

// News is what a reading told.
type News struct {
	Foot            string
	Nut             bool    // what its lock nut did, not a turn
	Raised, SD      float64 // m
	Zone, Low, High float64 // m, as the bed stands now; 0 until the planner was asked: a nut or a foot to be felt comes first
}
