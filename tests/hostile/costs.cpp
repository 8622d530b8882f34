// What each hostile input costs: bytes, seconds of one processor and the most memory held. Every
// input has a process of its own, so that none hides behind what another took.
#include "hostile/inputs.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <string_view>

namespace {

double seconds(const timeval& time) {
    return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
}

rusage used() {
    rusage all{};
    ::getrusage(RUSAGE_SELF, &all);
    return all;
}

void tell(const hostile::Input& input, std::size_t bytes, const rusage& before,
          std::string_view found) {
    const rusage after = used();
    std::printf("%9zu  %8.2f  %8.0f  %-20.*s  %.*s\n", bytes,
                seconds(after.ru_utime) + seconds(after.ru_stime) - seconds(before.ru_utime) -
                    seconds(before.ru_stime),
                static_cast<double>(after.ru_maxrss) / 1024, static_cast<int>(found.size()),
                found.data(), static_cast<int>(input.name.size()), input.name.data());
    std::fflush(stdout);
}

void measure(const hostile::Input& input) {
    const std::string text = input.text();
    const rusage before = used();
    const auto findings = hostile::read(input, text);
    tell(input, text.size(), before, findings.empty() ? "none" : findings.back().code);
    if (input.kind == hostile::Kind::pack && findings.empty()) {
        const rusage between = used();
        if (hostile::look_longer(text)) {
            tell(input, text.size(), between, "linted, recorded");
        }
    }
}

}  // namespace

int main() {
    hostile::file_size = toprail::Limits{}.bytes;
    std::printf("    bytes   seconds   peak MB  found                 input\n");
    std::fflush(stdout);
    int broken = 0;
    for (const hostile::Input& input : hostile::inputs()) {
        const pid_t child = ::fork();
        if (child == 0) {
            measure(input);
            ::_exit(0);
        }
        int status = 0;
        if (child < 0 || ::waitpid(child, &status, 0) != child || status != 0) {
            std::printf("broke: %.*s\n", static_cast<int>(input.name.size()), input.name.data());
            std::fflush(stdout);
            ++broken;
        }
    }
    return broken == 0 ? 0 : 1;
}
