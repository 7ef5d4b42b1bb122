package job

import "github.com/pelletier/go-toml/v2/unstable"

// sub returns the reader of the key's only table, nil when absent.
func (r *reader) sub(key string) *reader {
	def := r.key(key, formTable)
	v := r.get(key)
	if v == nil {
		return nil
	}
	if v.kind == unstable.Array && len(v.items) > 0 && v.items[0].header != inline {
		for _, t := range v.items[1:] {
			r.report(t.line, r.name(key), "there is only one; keep one of them", "is given twice")
			for _, name := range t.names {
				v.items[0].set(name, t.keys[name])
			}
		}
		if v = v.items[0]; v.header == double {
			r.report(v.line, r.name(key), "there is only one: write ["+r.name(key)+"]", "is written [[%s]]", r.name(key))
		}
	}
	if v.kind != unstable.InlineTable {
		r.fault(key, "write it as a table: ["+r.name(key)+"]", "is %s, not a table", kinds[v.kind])
		return nil
	}
	return r.reader(r.name(key), def, v)
}

// in takes the key's only table, if it is there.
func (r *reader) in(key string, take func(*reader)) {
	if t := r.sub(key); t != nil {
		take(t)
	}
}

// mostTables is more feet, surveys or sections than any bed has.
const mostTables = 500

// subs returns the readers of the key's tables, of which there may be several.
func (r *reader) subs(key string) []*reader {
	def := r.key(key, formTables)
	v := r.get(key)
	if v == nil {
		return nil
	}
	name := r.name(key)
	hint := "there may be several: write [[" + name + "]]"
	switch {
	case v.kind == unstable.InlineTable:
		r.fault(key, hint, "is a single table")
		return []*reader{r.reader(name, def, v)}
	case v.kind != unstable.Array:
		r.fault(key, hint, "is %s, not a table", kinds[v.kind])
		return nil
	case len(v.items) > mostTables:
		r.fault(key, "", "there are %d of them; %d at most can be taken", len(v.items), mostTables)
		return nil
	}
	var list []*reader
	for _, t := range v.items {
		switch {
		case t.kind != unstable.InlineTable:
			r.report(t.line, name, hint, "is %s, not a table", kinds[t.kind])
			continue
		case t.header == single:
			r.report(t.line, name, hint, "is written [%s]", name)
		case t.header == implied:
			r.report(t.line, name, "write [["+name+"]] with its keys first", "has no [[%s]] above this line", name)
			continue
		}
		list = append(list, r.reader(name, def, t))
	}
	return list
}
