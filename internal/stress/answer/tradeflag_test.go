package answer

import _ "overhang/internal/stress/tradeflag"
