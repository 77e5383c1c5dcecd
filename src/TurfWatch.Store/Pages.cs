using System.Data.Common;
using System.Runtime.CompilerServices;

namespace TurfWatch.Store;

/// <summary>Long lists, read page by page: whoever goes through one keeps neither all of it nor the database.</summary>
internal static class Pages
{
    /// <param name="database">Where the rows are.</param>
    /// <param name="size">Rows of a page.</param>
    /// <param name="after">The rows that come after the last one of the page before (null for the first), no more than a page.</param>
    /// <param name="cancellation">Cancels.</param>
    public static async IAsyncEnumerable<T> ReadAsync<T>(
        IDatabase database,
        int size,
        Func<DbConnection, T?, IEnumerable<T>> after,
        [EnumeratorCancellation] CancellationToken cancellation
    )
        where T : class
    {
        T? last = null;
        while (true)
        {
            var page = await database.ReadAsync(c => after(c, last).ToList(), cancellation);
            foreach (var row in page)
            {
                yield return row;
            }

            if (page.Count < size)
            {
                yield break;
            }

            last = page[^1];
        }
    }
}
