// Holds every rival of the benchmark against the others on a small number of cases; takes no time.
//
//   bench-agree RULEPACKS
#include "subject.hpp"

#include <iostream>

int main(int count, char** words) {
    if (count != 2) {
        std::cerr << "usage: bench-agree RULEPACKS\n";
        return 2;
    }
    const bench::Subject invented = bench::invented_subject();
    const bench::Subject shipped = bench::shipped_subject(words[1]);
    const bool same = bench::agree(invented, 3'000, 300) && bench::agree(shipped, 3'000, 0);
    std::cout << (same ? "all rivals agree\n" : "some rival answers otherwise\n");
    return same ? 0 : 1;
}
