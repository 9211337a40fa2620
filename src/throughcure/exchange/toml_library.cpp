// The parser's own code, once: it is slow to compile.
#define TOML_IMPLEMENTATION
#include "throughcure/exchange/toml_library.hpp"
