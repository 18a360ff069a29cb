package field

import _ "overhang/internal/stress/tradeflag"
