// Package contract holds requests to the document: what it does not allow is refused, with
// every bad field named, and the role that an operation asks for is read in it.
//
// # Parameters are parsed by hand, checked by the document
//
// Parameters are parsed by hand, checked by the document: oapi-codegen's strict server (v2.5.1)
// was tried on three endpoints (tells, sweepAlignment, stress) and does not fit. Its 1,444 lines
// hold a second type of every answer beside the one in ask, and one response type for each form
// and status (sweeps have five forms), all to be filled by hand; a filter's parameter is one of 52
// pointers of a struct where ask.Filters takes the names of tags.Dimensions as they come (a new
// dimension would be a regeneration and a line of copying); the usual values of the document are
// not filled in; an unknown parameter is not refused, and a bad one is {"message": ...} of its own
// with the parser's words, not a problem with the field named, so the contract's check must run
// before it in any case. The runtime's strictmiddleware for echo is gone from its present version
// (1.9; it was built with 1.1.2). The client is generated from the document, and TestContract
// holds router and answers to it.
//
// # OpenAPI 3.0.3
//
// OpenAPI 3.0.3, since every Go validator and generator reads all of it.
package contract
