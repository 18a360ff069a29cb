package points

import _ "overhang/internal/stress/tradeflag"
