// Uses toprail::lines as something installed. The folder of rulepacks is its argument.
#include <toprail/lines.hpp>

int main(int, char** arguments) {
    const toprail::LoadedShelf loaded = toprail::load_shelf(arguments[1]);
    if (!loaded.shelf) {
        return 1;
    }
    toprail::BulkOptions wanted;
    wanted.duties = {"tie-off"};
    const toprail::PlannedBulk planned =
        toprail::plan_bulk(*loaded.shelf, *toprail::Date::parse("2024-06-01"), wanted);
    std::string text = "{\"case\":\"a\",\"facts\":{}}\n";
    std::string out;
    toprail::LinesPorts ports;
    ports.read = [&text](char* to, std::size_t room) {
        const std::size_t size = text.copy(to, room);
        text.erase(0, size);
        return size;
    };
    ports.write = [&out](std::string_view more) {
        out += more;
        return true;
    };
    return toprail::decide_lines(*planned.plan, ports).decided == 1 && !out.empty() ? 0 : 2;
}
