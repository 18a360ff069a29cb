package pages

// An Operation is one thing the API does, as its document has it.
type Operation struct {
	ID, Method, Path, Summary, About string
	Needs                            string // the role it takes, "" for nobody's
	Parameters                       []Parameter
	Takes                            []string // kinds of bodies
	Sent, Got                        string   // an example of a body and of the answer to it, indented JSON; "" for none
	Answers                          []Response
}

// A Parameter is one of an operation's.
type Parameter struct {
	Name, In, About, Example string
	Required                 bool
}

// A Response is one answer it may give.
type Response struct {
	Status, About string
	Kinds         []string
}
