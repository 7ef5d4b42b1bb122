package section

import (
	"encoding/binary"
	"math"
	"sync"
)

// known keeps the constants of sections that were worked out: a job asks for the same ones often.
var known = struct {
	sync.Mutex
	of map[string]Constants
}{of: map[string]Constants{}}

// mostKept bounds what is kept; beyond it all is forgotten.
const mostKept = 256

// kept returns the constants of plates, worked out at most once.
func kept(plates Plates, work func() Constants) Constants {
	key := make([]byte, 0, 32*len(plates)) // by hand: a bed with ribs asks dozens of times
	for _, p := range plates {
		for _, v := range [4]float64{p.Width, p.Height, p.Offset, p.Bottom} {
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
		}
	}
	known.Lock()
	defer known.Unlock()
	c, ok := known.of[string(key)]
	if !ok {
		c = work()
		if len(known.of) >= mostKept {
			clear(known.of)
		}
		known.of[string(key)] = c
	}
	return c
}
