// Package ride is what lies and travels on a standing bed: the table on its ways, a straightedge on one of them.
//
// Letters and signs are those of package beam. A spot is a place of a stiff table, and a berth one of a rider, made ready for
// any draw.
package ride

import (
	"sync"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/free"
	"footwork/internal/contact"
)

// Bed is a standing bed for riders and tables. It may be used by many goroutines at once.
type Bed struct {
	*beam.Solver
	bed    casting.Bed
	free   *free.Bed
	points []contact.Point // of its supports
	enter  []free.Spot     // where their forces enter
	berths sync.Map        // of riders, by where and how these lie: func() berth
}

// On returns a standing bed for riders and tables.
func On(v *beam.Solver) *Bed {
	points, enter := v.Points()
	return &Bed{Solver: v, bed: v.Bed(), free: v.Free(), points: points, enter: enter}
}

// Riding is a bed in one case, ready for riders to be laid on it. Not for several
// goroutines at once.
type Riding struct {
	on      *Bed
	base    *beam.State // without the rider, not settled
	draw    beam.Draw
	coupled *contact.Problem
	feet    *[]bool // that touched when a rider was laid last; nil: none was
}

// Riding makes the bed ready in a case.
func (b *Bed) Riding(c beam.Case) Riding {
	return Riding{on: b, base: b.Unsettled(c)(c.Draw), draw: c.Draw, coupled: new(contact.Problem), feet: new([]bool)}
}
