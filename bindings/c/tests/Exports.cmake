# Holds the symbols of the shared object against the functions of the header.
# Run by ctest as cmake -D NM=... -D LIBRARY=... -D HEADER=... -P.

execute_process(
    COMMAND ${NM} --dynamic --defined-only --format=posix ${LIBRARY}
    OUTPUT_VARIABLE listed COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL "[^\n]+" lines "${listed}")
set(offered "")
foreach(line IN LISTS lines)
    string(REGEX MATCH "^([^ @]+)[^ ]* ([A-Za-z])" _ "${line}")
    # The version node itself is an absolute symbol.
    if(NOT CMAKE_MATCH_2 STREQUAL "A")
        list(APPEND offered ${CMAKE_MATCH_1})
    endif()
endforeach()

file(READ ${HEADER} header)
string(REGEX MATCHALL "TOPRAIL_PUBLIC[ \n]+[a-z_0-9]+[ \n]+(toprail_[a-z_]+)\\(" declared "${header}")
list(TRANSFORM declared REPLACE "^.*[ \n](toprail_[a-z_]+)\\($" "\\1")

list(SORT offered)
list(SORT declared)
list(LENGTH declared count)
if(count LESS 30)
    message(FATAL_ERROR "only ${count} functions were found in the header")
endif()
if(NOT offered STREQUAL declared)
    message(FATAL_ERROR "declared: ${declared}\noffered: ${offered}")
endif()
message(STATUS "${count} functions, no other symbol")
