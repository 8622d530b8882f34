# Installs the module with pip, without network, into a fresh folder, and runs the example with it.
# The build that is already there is used: what is tested is the packaging, not the compiler.

file(REMOVE_RECURSE ${WORK_DIR})
set(ENV{TOPRAIL_BUILD_DIR} ${BUILD_DIR})
execute_process(
    COMMAND ${PYTHON} -m pip install --no-index --no-build-isolation --no-deps --target ${WORK_DIR} .
    WORKING_DIRECTORY ${SOURCE_DIR} COMMAND_ERROR_IS_FATAL ANY)
foreach(file __init__.py _columns.py _core.pyi archive.py scale.py py.typed)
    if(NOT EXISTS ${WORK_DIR}/toprail/${file})
        message(FATAL_ERROR "${file} was not installed")
    endif()
endforeach()
set(ENV{PYTHONPATH} ${WORK_DIR})
execute_process(
    COMMAND ${PYTHON} bindings/python/example.py WORKING_DIRECTORY ${SOURCE_DIR}/../..
    COMMAND_ERROR_IS_FATAL ANY)
