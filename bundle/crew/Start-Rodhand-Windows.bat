@echo off
rem Starts Rodhand. The book lies in the folder "book" beside this file.
setlocal
pushd "%~dp0"
if not exist "program\start.py" (
  echo The folder "program" is missing beside this file. Unzip the bundle first, all of it.
  goto end
)
for %%V in ({py_versions}) do (
  py %%V -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul && (
    py %%V "program\start.py" %*
    goto end
  )
)
python -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul && (
  python "program\start.py" %*
  goto end
)
echo Rodhand needs Python 3.11 or newer. Install it, then start again.
:end
popd
pause
