// What each kind of experiment of validation/ wants to know from its file.
#pragma once

#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::exchange {

/// Reads the question of one row: `study` says which experiment it is. Keys are looked for in the row, then in the
/// study. What is wrong becomes a problem of the document.
/// A study of curing whose experiment has no reader here yet is a NotYetQuestion: its keys are then nobody's.
Question read_question(const TomlTable& study, const TomlTable& row);

}  // namespace throughcure::exchange
