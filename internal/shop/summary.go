package shop

import (
	"math"
	"slices"

	"footwork/internal/sample"
)

// atOnce returns f of every one, worked out side by side, by as many as there are processors;
// the error is the first in their order.
func atOnce[A, B any](all []A, f func(A) (B, error)) ([]B, error) {
	return by(0, all, f)
}

// by is the same by so many workers.
func by[A, B any](workers int, all []A, f func(A) (B, error)) ([]B, error) {
	out := make([]B, len(all))
	err := sample.Each(len(all), workers, func(i int) (err error) {
		out[i], err = f(all[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// ends returns the ends of the middle 95 %.
func ends(r sample.Range) [2]float64 { return [2]float64{r.Low, r.High} }

// over returns what a figure is over all answers.
func over[A any](all []A, f func(A) float64) sample.Range {
	return sample.RangeOf(each(all, f))
}

// band returns the pointwise median and band of a row of every answer. One bed's is
// its own row thrice.
func band[A any](all []A, f func(A) []float64) (mid, low, high []float64) {
	rows := each(all, f)
	n := len(rows[0])
	mid, low, high = make([]float64, n), make([]float64, n), make([]float64, n)
	column := make([]float64, len(rows))
	for k := range n {
		sortAt(rows, k) // which all but sorts them at the next station
		for i, row := range rows {
			column[i] = row[k]
		}
		mid[k], low[k], high[k] = sample.Quantile(column, 0.5), sample.Quantile(column, 0.025), sample.Quantile(column, 0.975) // sample.RangeOf, which sorts
	}
	return mid, low, high
}

// itself is a row that is its own.
func itself(row []float64) []float64 { return row }

// sortAt sorts rows by their figure k, by insertion.
func sortAt(rows [][]float64, k int) {
	for i := 1; i < len(rows); i++ {
		row, at := rows[i], i
		for ; at > 0 && rows[at-1][k] > row[k]; at-- {
			rows[at] = rows[at-1]
		}
		rows[at] = row
	}
}

// each returns f of every one, in their order; nil of none.
func each[A, B any](all []A, f func(A) B) []B {
	if len(all) == 0 {
		return nil
	}
	out := make([]B, len(all))
	for i, a := range all {
		out[i] = f(a)
	}
	return out
}

// those returns the ones that are so.
func those[A any](all []A, so func(A) bool) []A {
	return slices.DeleteFunc(slices.Clone(all), func(a A) bool { return !so(a) })
}

// jointly returns bounds between which all figures of a row are at once in 95 % of
// the rows: order statistics, as deep on either side as that allows. Equal figures
// count as the deepest of them, so that feet that hang in most beds bind nothing; equal is
// what rounding leaves of it, as of feet that two together hold a bed up.
func jointly(rows [][]float64) (low, high []float64) {
	depth := slices.Repeat([]int{len(rows)}, len(rows))
	var columns [][]float64
	for k := range rows[0] {
		column := make([]float64, len(rows))
		for i := range rows {
			column[i] = rows[i][k]
		}
		slices.Sort(column)
		columns = append(columns, column)
		rounding := 1e-9 * max(column[len(rows)-1], -column[0])
		for i := range rows {
			below, _ := slices.BinarySearch(column, rows[i][k]-rounding)
			upTo, _ := slices.BinarySearch(column, math.Nextafter(rows[i][k]+rounding, math.Inf(1)))
			depth[i] = min(depth[i], upTo-1, len(rows)-1-below)
		}
	}
	slices.Sort(depth)
	cut := depth[len(rows)/20]
	for _, column := range columns {
		low, high = append(low, column[cut]), append(high, column[len(rows)-1-cut])
	}
	return low, high
}

// some returns at most n of all, spread evenly over them.
func some[A any](all []A, n int) []A {
	if len(all) <= n {
		return all
	}
	out := make([]A, n)
	for i := range out {
		out[i] = all[(2*i+1)*len(all)/(2*n)]
	}
	return out
}
