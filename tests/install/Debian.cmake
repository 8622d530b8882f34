# Makes the Debian packages, unpacks them into one folder as a root of its own, and uses what lies
# there: the command, the Python module, an outside project in C++ with components and one in C.
#
# Run by ctest as cmake -D ... -P; every variable in capitals is handed over there.

cmake_minimum_required(VERSION 3.25)

function(run)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" "IN;OUT" "COMMAND")
    if(NOT arg_IN)
        set(arg_IN ${WORK_DIR})
    endif()
    execute_process(
        COMMAND ${arg_COMMAND}
        WORKING_DIRECTORY ${arg_IN}
        OUTPUT_VARIABLE said
        ERROR_VARIABLE complained
        RESULT_VARIABLE status)
    if(NOT status EQUAL 0)
        list(JOIN arg_COMMAND " " shown)
        message(FATAL_ERROR "${said}${complained}\nended with ${status}: ${shown}")
    endif()
    if(arg_OUT)
        set(${arg_OUT} "${said}" PARENT_SCOPE)
    endif()
endfunction()

# `what` is what would be wrong otherwise.
function(must_match what text pattern)
    if(NOT text MATCHES "${pattern}")
        message(FATAL_ERROR "${what}: no \"${pattern}\" in\n${text}")
    endif()
endfunction()

function(must_not_match what text pattern)
    if(text MATCHES "${pattern}")
        message(FATAL_ERROR "${what}: \"${CMAKE_MATCH_0}\" in\n${text}")
    endif()
endfunction()

file(REMOVE_RECURSE ${WORK_DIR})
file(MAKE_DIRECTORY ${WORK_DIR}/root)
run(COMMAND ${CPACK} --config ${BUILD_DIR}/CPackConfig.cmake -G DEB -B ${WORK_DIR}/made)
file(GLOB packages ${WORK_DIR}/made/*.deb)
set(names "")
foreach(package IN LISTS packages)
    run(COMMAND ${DPKG_DEB} --field ${package} Package OUT name)
    string(STRIP "${name}" name)
    list(APPEND names ${name})
    run(COMMAND ${DPKG_DEB} --field ${package} Version Depends OUT fields_${name})
    run(COMMAND ${DPKG_DEB} --contents ${package} OUT contents_${name})
    must_match("${name} has version ${VERSION}" "${fields_${name}}" "${VERSION}")
    run(COMMAND ${DPKG_DEB} -x ${package} ${WORK_DIR}/root)
endforeach()
message(STATUS "${names}")
foreach(name libtoprail-c0 libtoprail-dev toprail python3-toprail)
    if(NOT name IN_LIST names)
        message(FATAL_ERROR "${name} was not made, only ${names}")
    endif()
endforeach()

# Each file in the package where it belongs, and what it needs named.
must_match("the C library" "${contents_libtoprail-c0}" "libtoprail-c\\.so\\.0")
must_not_match("no headers with it" "${contents_libtoprail-c0}" "\\.h\n|\\.so\n")
must_match("headers" "${contents_libtoprail-dev}" "include/toprail/shelf\\.hpp")
must_match("what is promised" "${contents_libtoprail-dev}" "share/doc/toprail/README\\.md\n")
must_match("the header for C" "${contents_libtoprail-dev}" "include/toprail\\.h\n")
must_match("the command" "${contents_toprail}" "bin/toprail\n")
must_match("rulepacks" "${contents_toprail}" "share/toprail/rulepacks/")
must_not_match("no headers with it" "${contents_toprail}" "\\.hpp")
must_match("dev needs the library" "${fields_libtoprail-dev}" "libtoprail-c0 \\(= ${VERSION}\\)")
must_not_match("dev needs no more than the core" "${fields_libtoprail-dev}" "sodium|z3")
must_match("libraries are named" "${fields_libtoprail-c0}" "libc6.*libyaml-cpp")
must_match("the module's Python is named" "${fields_python3-toprail}" "python3 \\(<< 3\\.")

set(usr ${WORK_DIR}/root/usr)
set(ENV{LD_LIBRARY_PATH} ${usr}/lib)
# Away from the sources: nothing may come from there. 3 is "undetermined", which the site is.
execute_process(
    COMMAND ${usr}/bin/toprail decide --facts ${usr}/share/toprail/rulepacks/demo/site.yaml --on
            2024-06-01
    WORKING_DIRECTORY ${WORK_DIR}
    OUTPUT_VARIABLE said RESULT_VARIABLE status)
must_match("the command decides" "${status}" "^3$")
must_match("the command tells it" "${said}" "NOT REQUIRED")

set(ENV{PYTHONPATH} ${usr}/lib/python3/dist-packages)
run(COMMAND
        ${PYTHON} -c
        "import toprail; assert toprail.__file__.startswith('${usr}'); print(toprail.load('${usr}/share/toprail/rulepacks').duties()[0])"
    OUT said)

# The core brings its three libraries, and nothing that a component needs.
file(READ ${usr}/lib/cmake/toprail/toprailTargets.cmake targets)
string(REGEX MATCH "INTERFACE_LINK_LIBRARIES \"[^\"]*\"" links "${targets}")
must_match("the core's libraries" "${links}" "spdlog.*yaml-cpp")
must_not_match("no library of a component" "${links}" "sodium|[Zz]3|Threads")
foreach(language cpp components c)
    set(folder ${WORK_DIR}/${language})
    set(sources ${SAMPLE})
    set(project outside)
    set(options "")
    if(language STREQUAL "components")
        file(WRITE ${WORK_DIR}/components.cpp
             "#include <toprail/bulk.hpp>\n#include <toprail/receipt.hpp>\nint main() { return static_cast<int>(toprail::BulkPlan::vectors().empty()); }\n"
        )
        set(sources ${WORK_DIR}/components.cpp)
        set(options -D OUTSIDE_COMPONENTS=receipt,bulk)
    elseif(language STREQUAL "c")
        set(project outside-c)
        set(sources ${C_SAMPLE})
        set(options -D OUTSIDE_LIBRARY=c)
    endif()
    run(COMMAND ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR}/${project} -B ${folder} -G ${GENERATOR}
                -D CMAKE_C_COMPILER=${CC} -D CMAKE_CXX_COMPILER=${CXX} -D CMAKE_BUILD_TYPE=Release
                -D CMAKE_PREFIX_PATH=${usr} -D OUTSIDE_SOURCES=${sources} ${options})
    run(COMMAND ${CMAKE_COMMAND} --build ${folder})
    run(COMMAND ${folder}/outside IN ${usr}/share/toprail)
endforeach()
