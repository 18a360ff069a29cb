package call

import _ "overhang/internal/stress/tradeflag"
