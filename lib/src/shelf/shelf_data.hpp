// What a Shelf shares. Made by load_shelf, immutable afterwards.
#pragma once

#include "graph/dependencies.hpp"
#include "program/program.hpp"
#include "rulepack/model.hpp"

namespace toprail {

struct ShelfData {
    Model model;
    DependencyGraph graph;
    Program program;
};

}  // namespace toprail
