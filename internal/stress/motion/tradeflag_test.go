package motion

import _ "overhang/internal/stress/tradeflag"
