namespace TurfWatch.Host.Tests;

/// <summary>Finds files of the checkout from a test.</summary>
internal static class Repository
{
    public static string Root { get; } = Find();

    private static string Find()
    {
        for (
            var folder = new DirectoryInfo(AppContext.BaseDirectory);
            folder is not null;
            folder = folder.Parent
        )
        {
            if (File.Exists(Path.Combine(folder.FullName, "TurfWatch.sln")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException(
            $"no TurfWatch.sln above {AppContext.BaseDirectory}; run the tests from a checkout"
        );
    }
}
