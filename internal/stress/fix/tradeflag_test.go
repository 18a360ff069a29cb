package fix

import _ "overhang/internal/stress/tradeflag"
