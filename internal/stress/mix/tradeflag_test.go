package mix

import _ "overhang/internal/stress/tradeflag"
