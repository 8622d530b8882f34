// Entry points: worlds, texts_of.

#include "oracle/worlds.hpp"

#include "oracle/world_builder.hpp"

#include <ostream>

namespace oracle {

namespace {

rc::Gen<Tape> tapes(int length) {
    return rc::gen::resize(length,
                           rc::gen::container<Tape>(rc::gen::inRange<std::uint8_t>(0, 240)));
}

}  // namespace

rc::Gen<std::vector<Tape>> lists_of_tapes(int count, int length) {
    return rc::gen::resize(count, rc::gen::container<std::vector<Tape>>(tapes(length)));
}

rc::Gen<World> worlds(int cases) {
    return rc::gen::build<World>(rc::gen::set(&World::layout, tapes(40)),
                                 rc::gen::set(&World::facts, lists_of_tapes(6, 8)),
                                 rc::gen::set(&World::quantities, lists_of_tapes(3, 24)),
                                 rc::gen::set(&World::conditions, lists_of_tapes(3, 24)),
                                 rc::gen::set(&World::provisions, lists_of_tapes(12, 40)),
                                 rc::gen::set(&World::cases, lists_of_tapes(cases, 40)));
}

std::vector<toprail::SourceText> texts_of(const World& world) {
    return WorldBuilder(world).build();
}

std::vector<toprail::SourceText> texts_with_overlay(const World& world,
                                                    const std::vector<Tape>& provisions) {
    WorldBuilder builder(world);
    auto texts = builder.build();
    texts.push_back(builder.overlay(provisions));
    return texts;
}

void showValue(const World& world, std::ostream& out) {
    for (const auto& text : texts_of(world)) {
        out << "\n--- " << text.name << "\n" << text.text;
    }
}

}  // namespace oracle
