# What is installed, and where. Component `program` is for users, `development` for programs that use the library.
install(TARGETS coolband_program RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(FILES LICENSE README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
# Side by side as in the source, so that what the documents say of files holds there, too.
install(DIRECTORY docs DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program
        FILES_MATCHING PATTERN "*.md" PATTERN "*.json" PATTERN man EXCLUDE PATTERN debian EXCLUDE)
install(DIRECTORY data/demo data/scenarios DESTINATION ${CMAKE_INSTALL_DOCDIR}/data COMPONENT program
        PATTERN "*.py" EXCLUDE)

install(TARGETS coolband_library EXPORT coolbandTargets
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development
        LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development
        INCLUDES DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(DIRECTORY include/coolband DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT development
        FILES_MATCHING PATTERN "*.hpp")

set(coolband_package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/coolband)
install(EXPORT coolbandTargets NAMESPACE coolband:: DESTINATION ${coolband_package_dir} COMPONENT development)
configure_package_config_file(src/install/coolbandConfig.cmake.in ${PROJECT_BINARY_DIR}/coolbandConfig.cmake
                              INSTALL_DESTINATION ${coolband_package_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/coolbandConfigVersion.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/coolbandConfig.cmake
              ${PROJECT_BINARY_DIR}/coolbandConfigVersion.cmake
        DESTINATION ${coolband_package_dir} COMPONENT development)

file(RELATIVE_PATH coolband_prefix_from_pc
     /prefix/${CMAKE_INSTALL_LIBDIR}/pkgconfig /prefix)
string(REGEX REPLACE "/$" "" coolband_prefix_from_pc "${coolband_prefix_from_pc}")
configure_file(src/install/coolband.pc.in ${PROJECT_BINARY_DIR}/coolband.pc @ONLY)
install(FILES ${PROJECT_BINARY_DIR}/coolband.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)
