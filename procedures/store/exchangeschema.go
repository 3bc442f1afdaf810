package store

import _ "embed"

//go:embed exchange.schema.json
var exchangeSchema []byte

// ExchangeSchema is the JSON Schema (2020-12) of one line of an export.
func ExchangeSchema() []byte { return exchangeSchema }
