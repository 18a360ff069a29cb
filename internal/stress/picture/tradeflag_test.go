package picture

import _ "overhang/internal/stress/tradeflag"
