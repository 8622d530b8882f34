// Entry points: the look-ups of Model.
#include "rulepack/model.hpp"

#include <array>

namespace toprail {

std::string_view word(Mark mark) {
    static constexpr std::array<std::string_view, 6> words{
        "read", "read-part", "secondary", "memory", "inference", "common-practice"};
    return words[static_cast<std::size_t>(mark)];
}

const Standing* Model::standing(std::string_view name) const {
    for (const Standing& standing : standings) {
        if (standing.name == name) {
            return &standing;
        }
    }
    return nullptr;
}

std::string Model::key(ProvisionId id) const {
    const Provision& provision = provisions[id.value];
    const Rulepack& pack = packs[provision.pack.value];
    std::string key = pack.id + "/" + provision.id;
    if (authorities[pack.authority.value].editions.size() > 1) {
        key += "@" + pack.from.text();
    }
    return key;
}

const std::string& Model::name(Ref ref) const {
    switch (ref.kind) {
    case RefKind::condition:
        return conditions[ref.index].name;
    case RefKind::quantity:
        return quantities[ref.index].name;
    case RefKind::fact:
    case RefKind::none:
        break;
    }
    return facts[ref.index].name;
}

const std::string& Model::unit(Ref ref) const {
    return ref.kind == RefKind::quantity ? quantities[ref.index].unit : facts[ref.index].unit;
}

Dimension Model::dimension(Ref ref) const {
    return ref.kind == RefKind::quantity ? quantities[ref.index].dimension
                                         : facts[ref.index].dimension;
}

}  // namespace toprail
