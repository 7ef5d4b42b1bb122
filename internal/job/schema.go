package job

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// Schema returns the job file as a JSON Schema (draft 2020-12), with which
// editors complete and check keys. Ranges of quantities are told, not checked.
func Schema() []byte {
	s := jobTable.schema()
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = fmt.Sprintf("footwork job file, version %d", version)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(s); err != nil {
		panic(err)
	}
	return b.Bytes()
}

type schema = map[string]any

func (k *key) schema() schema {
	s := k.shape()
	if k.help != "" {
		s["description"] = k.says()
	}
	if k.old {
		s["deprecated"] = true
	}
	if k.form == formQuantity || k.form == formText {
		s["examples"] = []string{k.example}
	}
	if k.form == formChoice && !k.needed {
		s["default"] = k.options[0]
	}
	return s
}

// shape returns what a key's value may be.
func (k *key) shape() schema {
	switch k.form {
	case formChoice:
		return schema{"type": "string", "enum": k.options}
	case formFlag:
		return schema{"type": "boolean"}
	case formCount:
		return schema{"type": "integer", "minimum": k.lo, "maximum": k.hi}
	case formCounts:
		return schema{"type": "array", "minItems": 1, "items": schema{"type": "integer", "minimum": k.lo, "maximum": k.hi}}
	case formNumber:
		return schema{"type": "number", "minimum": k.lo, "maximum": k.hi}
	case formList, formTexts:
		s := schema{"type": "array", "minItems": max(1, k.items), "items": schema{"type": "string", "minLength": 1}}
		switch {
		case k.noItems:
			delete(s, "minItems")
		case k.items > 0:
			s["maxItems"] = k.items
		}
		return s
	case formTable:
		return k.object()
	case formTables:
		return schema{"type": "array", "minItems": 1, "maxItems": mostTables, "items": k.object()}
	}
	return schema{"type": "string", "minLength": 1}
}

func (k *key) object() schema {
	properties, required := schema{}, []string{}
	for i := range k.keys {
		below := &k.keys[i]
		properties[below.name] = below.schema()
		if below.needed {
			required = append(required, below.name)
		}
		if strings.HasSuffix(below.name, "weight") && below.form == formTables && k.name == "bed" { // of version 1: the weighed total
			properties[below.name] = schema{"anyOf": []schema{below.schema(), {"type": "string", "deprecated": true}}}
		}
	}
	s := schema{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}
